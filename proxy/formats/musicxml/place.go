package musicxml

import (
	"math"
	"strconv"
)

// placer puts the notes of a measure of a part where they belong.
type placer struct {
	hand
	placing Grace
	rests   []stretch // when the part rests, with any of its voices

	onset   int64          // ticks of the last note, for those that make a chord with it
	length  int64          // ticks of that note
	first   int            // index of the first note of that chord; unsaid
	stolen  int64          // what grace notes took from it
	sounded bool           // there was a note
	graces  []pended       // that wait for the note they belong to
	ends    map[uint16]int // by voice: index of the last note, from which late grace notes take
}

// place puts a note that has been read where it belongs, and goes on by its length.
func (n *placer) place(w *written) error {
	if w.cue {
		w.small = cue
	}
	before := n.sounded
	if w.grace {
		before = len(n.graces) > 0
	}
	if w.chord && !before {
		n.warn("a note makes a chord with no note before it; it is taken as a note of its own")
		w.chord = false
	}
	w.voice = n.p.voice(w.part, int(w.staff))
	w.across.fifths = int8(n.p.fifths[w.staff])
	if w.tied == 0 {
		w.tied = w.drawn
	}
	sounds := !w.rest && !n.p.aside[w.staff] && n.sounding(w)
	if w.grace {
		if len(n.graces) == maxGraces {
			return n.fault("over %d grace notes stand before one note: %s", maxGraces, damaged)
		}
		if !sounds {
			return nil
		}
		n.grace(w)
		return n.count()
	}
	if !w.chord {
		n.onset, n.length = n.at(), n.in(w.divisions)
		n.first, n.sounded = unsaid, true
		if err := n.forward(w.divisions); err != nil {
			return err
		}
		switch {
		case w.rest && w.measureRest && !n.p.free:
			n.rest(w)
		case w.rest:
			n.rest(w)
			n.rested = max(n.rested, n.at())
		default:
			n.end = max(n.end, n.at())
		}
		n.stolen = n.resolve(w)
	}
	for _, name := range w.dynamics {
		n.dynamic(n.onset, int(w.staff), name)
	}
	if err := n.enough(); err != nil {
		return err
	}
	if !sounds {
		return nil
	}
	w.note.ornament = w.played(n.p.fifths[w.staff])
	w.at, w.length = n.onset, n.in(w.divisions)
	if w.length == 0 {
		n.warn("a note lasts no time and is left out")
		return nil
	}
	if n.stolen < w.length {
		w.at, w.length, w.stolen = w.at+n.stolen, w.length-n.stolen, n.stolen
	}
	n.append(w)
	return n.count()
}

// rest notes where the part rests.
func (n *placer) rest(w *written) {
	if len(n.rests) == maxRests {
		return
	}
	s := stretch{n.onset, n.onset + n.length}
	if w.measureRest {
		s = stretch{0, maxMeasure * quarterTicks}
	}
	n.rests = append(n.rests, s)
}

// maxRests bounds the rests of a part that are known in a measure; further ones are ignored.
const maxRests = 256

// append adds a note, and shares the marks of a chord among its notes.
func (n *placer) append(w *written) {
	notes := &n.p.measures[n.k]
	i := len(*notes)
	*notes = append(*notes, w.note)
	n.p.manyStaves = n.p.manyStaves || w.staff > 1
	n.ends[w.voice] = i
	if n.first == unsaid {
		n.first = i
		return
	}
	shareTremolo((*notes)[n.first:])
	shared := (*notes)[n.first].marks
	(*notes)[i].marks |= shared
	if w.marks&^shared == 0 {
		return
	}
	for j := n.first; j < i; j++ {
		(*notes)[j].marks |= w.marks
	}
}

// middleLine is where an unpitched note stands that does not say it: on the middle
// line of a staff in the treble clef, B4 (MusicXML 4.0, display-step; from memory).
const middleLine = 71

// sounding finds the key and the instrument of a note, and reports whether it has one.
func (n *placer) sounding(w *written) bool {
	i, ok := n.p.byID[w.player]
	if !ok && w.player != "" {
		n.warn("the instrument %.40q is not in the part list; the note is played by the part's first", w.player)
	}
	w.instrument = uint16(i)
	pitch := w.pitch.pitch
	switch {
	case w.pitched:
		pitch += float64(n.p.transpose[w.staff])
	case i < len(n.p.instruments) && n.p.instruments[i].unpitched != unsaid:
		pitch = float64(n.p.instruments[i].unpitched)
	case !w.displayed:
		pitch = middleLine
	}
	key := math.Floor(pitch + 0.5) // a quarter tone counts up
	if key < 0 || key > 127 {
		n.warn("the note sounds as MIDI note %g, and there are 0 to 127; it is left out", key)
		return false
	}
	w.key = uint8(key)
	return true
}

// voice is the number of a voice of the part. Notes without a voice are told
// apart by their staves.
func (p *part) voice(name string, staff int) uint16 {
	if name == "" {
		name = "staff " + strconv.Itoa(staff)
	}
	v, ok := p.voices[name]
	if !ok && len(p.voices) < maxVoices {
		v = uint16(len(p.voices))
		p.voices[name] = v
	}
	return v
}

// maxVoices bounds the voices of a part; further ones are one with the first.
const maxVoices = 256
