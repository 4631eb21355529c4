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
	stepBackDB = 3
	equal      = 0.25 // difference of salience up to which a part is as much the tune: it may double it
)

var aboutStepBack = expr.About{
	Name: "step back", Key: "step_back",
	Sentence: "Who accompanies steps back behind the tune.",
	Changed:  "stepping back behind the tune",
	Listen:   "who accompanies steps back behind the tune: strings under the flute, bars 4 to 7",
	Heard:    "who accompanies steps back behind the tune", Ease: 1,
	Needs: expr.Grades{
		None:      "all of it, once the parts have been compared",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "common practice",
	Most:   expr.Bound{DB: stepBackDB},
}

// About says what the habit is.
func (StepBack) About() *expr.About { return &aboutStepBack }

// Shape takes from the level by what the part lacks of the tune's salience.
func (StepBack) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 || n.Salience < 0 || n.Tune-n.Salience <= equal {
		return false
	}
	g.NuanceDB -= k * stepBackDB * (n.Tune - n.Salience - equal) / (1 - equal)
	return true
}
