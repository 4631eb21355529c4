package habits

import (
	"swellbox/expr"
)

// Marks reads the velocity as a written dynamic and gives the note the
// level that the profile's curve has for it: at k = 0 the level at which the raw
// note would have sounded, at k = 1 the curve's.
//
// Source: the curve is the profile's. The steps between marks of the built-in
// ones are stated there.
type Marks struct{}

// Name is the rule's name in counts and reports.
func (Marks) Name() string { return "expression" }

// Shape sets the level, on which the other rules build.
func (Marks) Shape(n *expr.Note, g *expr.Gesture) bool {
	asRaw := n.RawDB - n.MfDB
	k := n.Profile.Dynamics.K
	g.LevelDB += asRaw + k*(n.WrittenDB-asRaw)
	return k != 0
}
