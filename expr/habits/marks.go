package habits

import (
	"swellbox/expr"
)

// Marks reads the velocity as a written dynamic and gives the note the
// level that the profile's curve has for it: at amount 0 the level at which the raw
// note would have sounded, at amount 1 the curve's.
//
// Source: the curve is the profile's. The steps between marks of the built-in
// ones are stated there.
type Marks struct{}

var aboutMarks = expr.About{
	Name: "marks", Key: "marks",
	Sentence: "A written dynamic is the same level on every instrument.",
	Changed:  "the written dynamics",
	Listen:   "the written marks as the same level for every instrument; nobody listens to anybody yet",
	Needs: expr.Grades{
		None:      "all of it",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "the curve is the profile's; the steps between marks of the built-in ones are common practice",
	Own:    true,
}

// About says what the habit is.
func (Marks) About() *expr.About { return &aboutMarks }

// Shape sets the level, on which the other habits build.
func (Marks) Shape(n *expr.Note, g *expr.Gesture) bool {
	asRaw := n.RawDB - n.MfDB
	k := n.Amount
	g.LevelDB += asRaw + k*(n.WrittenDB-asRaw)
	return k != 0
}
