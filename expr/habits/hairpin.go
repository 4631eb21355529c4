package habits

import (
	"swellbox/expr"
)

// Hairpin makes one line of a crescendo or diminuendo that the notation program plays as steps
// from note to note: a note that is held up to the next moves to the level of the next. It
// takes steps for a hairpin where the note before, this one and the next go one way by little
// each, or where a hairpin is written. A larger step is a sudden change and stays one, as does
// what an accent makes. It can only do so where a controller carries the level.
//
// Foreknowledge. None: nothing, as where the line leads would be a guess. Lookahead: notes
// whose next onset comes within it. Score: all notes; and written hairpins from their first
// note on.
//
// Source: what a hairpin means; the sizes of a step are ours.
type Hairpin struct{}

// The least and the greatest step from note to note, dB, that is one of a hairpin: less is
// nobody's crescendo, more is sudden. Where the hairpin is written, its steps may be as large
// as from one dynamic mark to the next but one, which is 8.4 dB in common practice.
const (
	leastHairpinDB    = 0.3
	greatestHairpinDB = 4
	writtenHairpinDB  = 8.5
)

// heldShare is how much of the time to the next onset a note must last to be held up to it.
// Ours.
const heldShare = 0.85

// Name is the rule's name in counts and reports.
func (Hairpin) Name() string { return "hairpin" }

// Shape gives the note its glide to the next one's level.
func (Hairpin) Shape(n *expr.Note, g *expr.Gesture) bool {
	h, d := &n.Profile.Habits, &n.Profile.Dynamics
	if h.Hairpin == 0 || d.K == 0 || d.Carrier == expr.CarryVelocity || n.NextKey < 0 || n.ToNext <= 0 ||
		float64(n.Length) < heldShare*float64(n.ToNext) || n.Marks&(expr.Accented|expr.Marcato) != 0 {
		return false
	}
	step := n.NextDB - n.WrittenDB
	switch {
	case n.Marks.Has(expr.Louder) && isStep(step, writtenHairpinDB):
	case n.Marks.Has(expr.Softer) && isStep(-step, writtenHairpinDB):
	case n.LastKey >= 0 && isStep(step, greatestHairpinDB) && isStep(n.WrittenDB-n.LastDB, greatestHairpinDB):
	case n.LastKey >= 0 && isStep(-step, greatestHairpinDB) && isStep(n.LastDB-n.WrittenDB, greatestHairpinDB):
	default:
		return false
	}
	// Past k = 1 it would overshoot the next note. The written steps are the level's
	// only as far as the reading of the dynamics makes them so.
	g.GlideDB += min(h.Hairpin, 1) * min(d.K, 1) * step
	g.Glide = n.ToNext
	return true
}

// isStep reports whether a rise in dB is a step of a hairpin.
func isStep(db, greatest float64) bool { return db >= leastHairpinDB && db <= greatest }
