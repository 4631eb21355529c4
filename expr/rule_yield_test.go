package expr

import "testing"

func TestYielding(t *testing.T) {
	for _, c := range []struct {
		what              string
		k, salience, tune float64
		want              float64
	}{
		{"nothing known", 1, Unknown, Unknown, 0},
		{"tune not known", 1, 0.4, Unknown, 0},
		{"own salience not known", 1, Unknown, 0.9, 0},
		{"the tune", 1, 0.9, 0.9, 0},
		{"never louder", 1, 0.9, 0.4, 0},
		{"no salience", 1, 0, 1, -3},
		{"some", 1, 0.4, 0.8, -0.6},
		{"doubles it", 1, 0.65, 0.9, 0},
		{"k = 2", 2, 0.4, 0.8, -1.2},
	} {
		n := noteOf(Habits{Yield: c.k}, func(n *Note) { n.Salience, n.Tune = c.salience, c.tune })
		near(t, c.what, shaped(t, Yielding{}, n).NuanceDB, c.want, 1e-9)
	}
}
