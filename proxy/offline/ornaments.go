package offline

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/ornament"
	"swellbox/proxy/formats/musicxml"
)

// Ornaments says what becomes of the ornaments of a MusicXML score, as bits.
type Ornaments uint8

const (
	LeaveOrnaments  Ornaments = 0 // only the notes under them are played
	PlayOrnaments   Ornaments = 1 // they are played out
	GraceOnBeat     Ornaments = 2 // grace notes start on the beat
	GraceBeforeBeat Ornaments = 4 // they end on it; with neither, as the score says, and else on it
)

// grace is how a score's grace notes are read.
func (o Ornaments) grace() musicxml.Grace {
	switch {
	case o&GraceBeforeBeat != 0:
		return musicxml.GraceBeforeBeat
	case o&GraceOnBeat != 0:
		return musicxml.GraceOnBeat
	}
	return musicxml.GraceAsWritten
}

// playOrnaments puts what is played in the place of the notes that have ornaments, are rolled, or glide.
func playOrnaments(d *musicxml.Document) {
	if len(d.Ornaments)+len(d.Rolls)+len(d.Glides) == 0 {
		return
	}
	s := d.Score
	late := rolled(d)
	runs := glided(d, late)
	signs := map[int]musicxml.Ornament{}
	for _, o := range d.Ornaments {
		signs[o.Note] = o
	}
	done := map[int]bool{} // notes of tremolos between two
	notes := make([]expr.Written, 0, len(s.Notes))
	var out []ornament.Note
	for i := range s.Notes {
		sign, ok := signs[i]
		switch {
		case done[i]:
			continue
		case !ok && runs[i] == nil && late[i] == 0:
			notes = append(notes, s.Notes[i])
			continue
		}
		moved := s.Notes[i]
		n := &moved
		quarter := quarterAt(n)
		if out = out[:0]; sign.Kind == ornament.Alternate {
			out = alternate(s, signs, i, done)
		}
		if x := late[i]; x > 0 && len(out) == 0 {
			n.Beat, n.Length, n.On = n.Beat+x, n.Length-x, n.On+time.Duration(x*float64(quarter))
		}
		if run := runs[i]; len(out) == 0 && !ok {
			out = append(out, run...)
		}
		if len(out) == 0 {
			out = sign.Play(out, n.Key, n.Length, quarter)
		}
		for j, x := range out {
			w := *n
			w.Key, w.Beat, w.Length, w.Marks = x.Key, n.Beat+x.At, x.Length, marksWithin(n.Marks, j, len(out), sign.Kind != ornament.Tremolo)
			w.On = n.On + time.Duration(x.At*float64(quarter))
			w.Off = n.On + time.Duration((x.At+x.Length)*float64(quarter))
			notes = append(notes, w)
		}
	}
	slices.SortStableFunc(notes, func(a, b expr.Written) int { return a.Compare(&b) })
	s.Notes, d.Ornaments = notes, nil
	d.Rolls, d.Glides = nil, nil
}

// marksWithin are the marks of the i-th of n notes that are played for one: its stress is that of
// the first, what comes after it that of the last. Within it they are joined, but for the strokes of a tremolo.
func marksWithin(m expr.Marks, i, n int, joined bool) expr.Marks {
	if n == 1 {
		return m
	}
	const start = expr.Accented | expr.Marcato | expr.SlurBegins
	const end = expr.SlurEnds | expr.Fermata | expr.BreathAfter
	m &^= expr.Staccato | expr.Staccatissimo
	if i > 0 {
		m &^= start
	}
	if i < n-1 {
		m &^= end
	}
	if i < n-1 && joined {
		m |= expr.SlurGoesOn
	}
	return m
}

// quarterAt is how long a quarter note is at the tempo of a note.
func quarterAt(n *expr.Written) time.Duration {
	if !(n.Length > 0) {
		return 0
	}
	return time.Duration(float64(n.Off-n.On) / n.Length)
}

// alternate plays a tremolo from a chord to the next, of which a note is given; its other notes
// are done then. Nothing is played where the next is not there.
func alternate(s *expr.Score, signs map[int]musicxml.Ornament, at int, done map[int]bool) []ornament.Note {
	const together = 1. / 64 // quarter notes
	n := &s.Notes[at]
	chord := func(beat float64, ends bool) (of []int, keys []uint8) {
		from, _ := slices.BinarySearchFunc(s.Notes, beat-together, func(w expr.Written, beat float64) int { return cmp.Compare(w.Beat, beat) })
		for i := from; i < len(s.Notes) && s.Notes[i].Beat < beat+together; i++ {
			w := &s.Notes[i]
			if o, ok := signs[i]; ok && o.Kind == ornament.Alternate && o.Ends == ends && w.Part == n.Part && w.Staff == n.Staff {
				of, keys = append(of, i), append(keys, w.Key)
			}
		}
		return of, keys
	}
	if signs[at].Ends {
		return nil
	}
	first, keys := chord(n.Beat, false)
	second, others := chord(n.Beat+n.Length, true)
	if len(second) == 0 || math.Abs(s.Notes[second[0]].Length-n.Length) > together {
		return nil
	}
	for _, i := range slices.Concat(first, second) {
		done[i] = true
	}
	return signs[at].PlayBetween(nil, keys, others, 2*n.Length, quarterAt(n))
}
