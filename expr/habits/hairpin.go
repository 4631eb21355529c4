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

var aboutHairpin = expr.About{
	Name: "hairpin", Key: "hairpin",
	Sentence: "A crescendo is one line and no stairs.",
	Changed:  "the joined hairpins",
	Listen:   "a crescendo is one line and no stairs: violins I, bar 17; so is a diminuendo: flute, bar 26",
	Heard:    "a crescendo is one line, without stairs", Ease: 6,
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "notes whose next one comes within it",
		Score:     "all notes, and written hairpins from their first note on",
	},
	Source: "what a hairpin means",
}

// About says what the habit is.
func (Hairpin) About() *expr.About { return &aboutHairpin }

// Shape gives the note its glide to the next one's level.
func (Hairpin) Shape(n *expr.Note, g *expr.Gesture) bool {
	d, marks := &n.Profile.Dynamics, n.Profile.Amounts.Of(expr.KeyMarks)
	if n.Amount == 0 || marks == 0 || d.Carrier == expr.CarryVelocity || n.NextKey < 0 || n.ToNext <= 0 ||
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
	// Past amount 1 it would overshoot the next note. The written steps are the level's
	// only as far as the reading of the dynamics makes them so.
	g.GlideDB += min(n.Amount, 1) * min(marks, 1) * step
	g.Glide = n.ToNext
	return true
}

// isStep reports whether a rise in dB is a step of a hairpin.
func isStep(db, greatest float64) bool { return db >= leastHairpinDB && db <= greatest }
