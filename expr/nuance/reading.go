package nuance

import (
	"slices"

	"swellbox/expr"
	"swellbox/expr/listening"
)

// Reading is a part of a score as it is known before it is played.
type Reading struct {
	scene Scene
	notes []int32 // of the scene's notes: their indices in the score
	known Known

	touched []touched // of the scene's notes, as far as they were asked for
}

// Read reads a part of a score. Keyswitches are no notes of it.
func Read(s *expr.Score, part uint16) *Reading {
	r := &Reading{known: AllNotes}
	staves, marks := uint8(0), expr.Marks(0)
	for i := range s.Notes {
		if n := &s.Notes[i]; n.Part == part && !n.Calls {
			staves, marks = max(staves, n.Staff), marks|n.Marks
			r.notes = append(r.notes, int32(i))
		}
	}
	if staves > 1 || marks != 0 {
		r.known = AllSigns
	}
	r.scene = Scene{whole: true, notes: make([]note, 0, len(r.notes))}
	if len(r.notes) > 0 {
		r.scene.end = s.Notes[r.notes[len(r.notes)-1]].On.Seconds()
	}
	written := dynamicsOf(s, r.notes)
	bar := 0
	for k, i := range r.notes {
		n := &s.Notes[i]
		for bar+1 < len(s.Bars) && s.Bars[bar+1].Beat <= n.Beat+expr.BeforeBar {
			bar++
		}
		x := Note{On: n.On, Off: n.Off, Key: n.Key, Hand: handOf(n.Staff, staves), Marks: n.Marks, Written: written[k]}
		if bar < len(s.Bars) {
			b := &s.Bars[bar]
			x.Metre = int8(listening.BeatLevel(n.Beat-b.Beat, b.Beats, b.Unit))
		}
		r.scene.Begin(&x)
	}
	r.touched = make([]touched, len(r.notes))
	return r
}

// Scene holds the notes of the part.
func (r *Reading) Scene() *Scene { return &r.scene }

// Number is the number in the scene of a note of the score, by its index; false if the part
// does not have it.
func (r *Reading) Number(index int) (number int64, ok bool) {
	k, ok := slices.BinarySearch(r.notes, int32(index))
	return int64(k), ok
}

// handOf is the hand that plays a staff of so many: of three staves two are the right hand's,
// as most are written.
func handOf(staff, staves uint8) Hand {
	switch {
	case staves < 2:
		return AnyHand
	case int(staff)*2 <= int(staves)+1:
		return Right
	}
	return Left
}
