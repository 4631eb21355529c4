package habits

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

func TestStepBack(t *testing.T) {
	for _, c := range []struct {
		what              string
		k, salience, tune float64
		want              float64
	}{
		{"nothing known", 1, expr.Unknown, expr.Unknown, 0},
		{"tune not known", 1, 0.4, expr.Unknown, 0},
		{"own salience not known", 1, expr.Unknown, 0.9, 0},
		{"the tune", 1, 0.9, 0.9, 0},
		{"never louder", 1, 0.9, 0.4, 0},
		{"no salience", 1, 0, 1, -3},
		{"some", 1, 0.4, 0.8, -0.6},
		{"doubles it", 1, 0.65, 0.9, 0},
		{"amount 2", 2, 0.4, 0.8, -1.2},
	} {
		n := noteOf(exprtest.Having("step_back", c.k), func(n *expr.Note) { n.Salience, n.Tune = c.salience, c.tune })
		exprtest.Near(t, c.what, shaped(t, StepBack{}, n).NuanceDB, c.want, 1e-9)
	}
}
