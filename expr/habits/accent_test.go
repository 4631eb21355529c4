package habits

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Accents of Thomassen 1982 as quoted in secondary texts (SEEN-2): 1 at a line's start,
// 0.83·0.67 = 0.5561 at a leap to a peak, 0.1207 on the way.
func TestAccent(t *testing.T) {
	for _, c := range []struct {
		what            string
		k, accent, mean float64
		want            float64
	}{
		{"not known", 1, expr.Unknown, 0.3, 0},
		{"a line's start", 1, 1, 0.3, 1.2},
		{"a peak", 1, 0.5561, 0.3, 0.5122},
		{"on the way", 1, 0.1207, 0.3, -0.3586},
		{"on the way, amount 2", 2, 0.1207, 0.3, -0.7172},
		{"repeated", 1, 0, 0.3, -0.6},
		{"average", 1, 0.3, 0.3, 0},
	} {
		n := noteOf(exprtest.Having("accent", c.k), func(n *expr.Note) { n.Accent, n.MeanAccent = c.accent, c.mean })
		exprtest.Near(t, c.what, shaped(t, Accent{}, n).NuanceDB, c.want, 1e-9)
	}
}
