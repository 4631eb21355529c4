// Package readers holds what swellbox reads of real scores against another reader, a general-purpose
// library of npm ([Library]), note for note. Both read the same text, first as it stands and then with
// that taken out of it which the two are known to take otherwise, stage by stage: so a difference
// that remains is one of reading, and not of a decision on what the page leaves open.
package readers

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
)

// Ticks are the parts of a quarter note in which both readers are compared.
const Ticks = 480

// Note is a note as both readers tell it, in ticks.
type Note struct {
	Part       int
	On, Length int64
	Key        uint8
}

func compare(a, b Note) int {
	return cmp.Or(cmp.Compare(a.Part, b.Part), cmp.Compare(a.On, b.On), cmp.Compare(a.Key, b.Key), cmp.Compare(a.Length, b.Length))
}

// Ours are the notes of a score that swellbox has read, in order, as a MIDI file would tell them.
func Ours(s *expr.Score) []Note {
	strokes := make([]stroke, 0, 2*len(s.Notes))
	for i := range s.Notes {
		n := &s.Notes[i]
		on, off := math.Round(n.Beat*Ticks), math.Round((n.Beat+n.Length)*Ticks)
		strokes = append(strokes, stroke{int(n.Part), int64(on), true, n.Key}, stroke{int(n.Part), int64(off), false, n.Key})
	}
	return paired(strokes)
}

// Theirs are the notes of the file that the other reader has made of a score, in order: a track of
// tempos, and one for each part.
func Theirs(f *smf.File) []Note {
	var strokes []stroke
	for i, track := range f.Tracks {
		for _, e := range track.Events {
			if kind := e.Data[0] & 0xF0; kind == 0x80 || kind == 0x90 {
				strokes = append(strokes, stroke{i - 1, e.Tick, kind == 0x90 && e.Data[2] > 0, e.Data[1]})
			}
		}
	}
	return paired(strokes)
}

// stroke is a key that goes down or up.
type stroke struct {
	part int
	at   int64
	down bool
	key  uint8
}

// paired makes notes of strokes. Of two notes on one key a MIDI file does not say which ends first, so
// the first is taken to, whatever the page says.
func paired(strokes []stroke) []Note {
	slices.SortStableFunc(strokes, func(a, b stroke) int {
		up := func(s stroke) int {
			if s.down {
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(a.part, b.part), cmp.Compare(a.at, b.at), cmp.Compare(up(a), up(b)))
	})
	notes := make([]Note, 0, len(strokes)/2)
	var sounding [128][]int // indices of notes
	for i, s := range strokes {
		if i > 0 && s.part != strokes[i-1].part {
			sounding = [128][]int{}
		}
		on := &sounding[s.key&127]
		if s.down {
			*on = append(*on, len(notes))
			notes = append(notes, Note{Part: s.part, On: s.at, Key: s.key & 127})
		} else if len(*on) > 0 {
			n := &notes[(*on)[0]]
			n.Length = s.at - n.On
			*on = (*on)[1:]
		}
	}
	slices.SortFunc(notes, compare)
	return notes
}

// Count counts the notes of scores.
type Count struct {
	Scores    int
	Whole     int // of which every note is the same
	Notes     int // by the reader that has more of them
	Identical int // notes of which part, start, length and key are the same
	Begun     int // and of which the length may differ
}

// Add adds another count.
func (c *Count) Add(o Count) {
	c.Scores += o.Scores
	c.Whole += o.Whole
	c.Notes += o.Notes
	c.Identical += o.Identical
	c.Begun += o.Begun
}

// Compare counts what two readers agree on in one score.
func Compare(ours, theirs []Note) Count {
	c := Count{Scores: 1, Notes: max(len(ours), len(theirs))}
	c.Identical = common(ours, theirs, compare)
	c.Begun = common(ours, theirs, func(a, b Note) int {
		a.Length, b.Length = 0, 0
		return compare(a, b)
	})
	if c.Identical == c.Notes {
		c.Whole = 1
	}
	return c
}

// common is how many notes two lists have in common.
func common(a, b []Note, order func(a, b Note) int) (n int) {
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch d := order(a[i], b[k]); {
		case d == 0:
			n++
			i++
			k++
		case d < 0:
			i++
		default:
			k++
		}
	}
	return n
}
