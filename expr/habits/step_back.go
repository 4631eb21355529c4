package habits

import (
	"swellbox/expr"
)

// StepBack has an accompaniment step back behind the tune: by 3 dB where a part has no
// salience beside a tune that has all, less as it has more of its own. The tune itself is
// never made louder.
//
// Foreknowledge: none is needed, as far as the parts that sound have been compared.
//
// Source: common practice, no published source; the amount is ours.
type StepBack struct{}

const (
	yieldDB = 3
	equal   = 0.25 // difference of salience up to which a part is as much the tune: it may double it
)

// Name is the rule's name in counts and reports.
func (StepBack) Name() string { return "yield" }

// Shape takes from the level by what the part lacks of the tune's salience.
func (StepBack) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Profile.Habits.Yield
	if k == 0 || n.Salience < 0 || n.Tune-n.Salience <= equal {
		return false
	}
	g.NuanceDB -= k * yieldDB * (n.Tune - n.Salience - equal) / (1 - equal)
	return true
}
