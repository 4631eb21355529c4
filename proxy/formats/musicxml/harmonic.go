package musicxml

// overtones are by how many semitones a harmonic sounds over the base, by how many over the
// base the string is touched: at the octave, the fifth, the fourth, the thirds and the sixth (the series of
// overtones).
var overtones = map[int]int{12: 12, 7: 19, 5: 24, 4: 28, 9: 28, 3: 31, 16: 28, 19: 19, 24: 24}

// soundHarmonics puts what sounds in the place of what is written as a harmonic. Notes of
// one voice that start and end together are one harmonic.
func (p *part) soundHarmonics() {
	for k, notes := range p.measures {
		kept := notes[:0]
		for i := 0; i < len(notes); {
			j := i + 1
			for j < len(notes) && notes[j].at == notes[i].at && notes[j].length == notes[i].length && notes[j].voice == notes[i].voice {
				j++
			}
			kept = append(kept, sounds(notes[i:j])...)
			i = j
		}
		p.measures[k] = kept
	}
}

// sounds is what sounds of the notes of a chord. A base and where it is touched are one note,
// which sounds as the overtone; what is said to sound goes before both. A note of which the file
// does not say what it is sounds as written, as does a touched one without a base (common practice for natural
// harmonics with a circle, no published source). A base alone sounds an octave over it, and two
// octaves where the harmonic is artificial: those are the harmonics most in use (common practice, no
// published source).
func sounds(chord []note) []note {
	base, touching, sounding := unsaid, unsaid, unsaid
	for i := range chord {
		switch h := &chord[i].across.harmonic; {
		case !h.is:
		case h.pitch == basePitch:
			base = i
		case h.pitch == touchingPitch:
			touching = i
		case h.pitch == soundingPitch:
			sounding = i
		}
	}
	raise := func(i, from, by int) {
		if key := from + by; by > 0 && key <= 127 {
			chord[i].key = uint8(key)
		}
	}
	switch {
	case sounding != unsaid:
	case base != unsaid && touching != unsaid:
		low := int(chord[base].key)
		raise(touching, low, overtones[int(chord[touching].key)-low])
		sounding = touching
	case base != unsaid && chord[base].across.harmonic.artificial:
		raise(base, int(chord[base].key), 24)
	case base != unsaid:
		raise(base, int(chord[base].key), 12)
	}
	if sounding == unsaid {
		return chord
	}
	kept := chord[:0]
	for i := range chord {
		if i == sounding || i != base && i != touching {
			kept = append(kept, chord[i])
		}
	}
	return kept
}
