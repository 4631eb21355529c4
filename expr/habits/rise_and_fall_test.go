package habits

import (
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Friberg 1991 (from memory): (N-60)/4 dB, 3 dB an octave.
func TestRiseAndFallAsPublished(t *testing.T) {
	for _, c := range []struct{ note, want float64 }{{60, 0}, {72, 3}, {48, -3}, {64, 1}, {84, 6}} {
		exprtest.Near(t, "level", RiseDB(c.note), c.want, 0)
	}
}

func TestRiseAndFall(t *testing.T) {
	for _, c := range []struct {
		what    string
		k       float64
		key     uint8
		meanKey float64
		want    float64
	}{
		{"on the mean", 1, 76, 76, 0},
		{"an octave over it", 1, 88, 76, 3},
		{"an octave under it", 1, 64, 76, -3},
		{"a third", 1, 80, 76, 1},
		{"a third, amount 2", 2, 80, 76, 2},
		{"in a low part", 1, 40, 36, 1},
		{"held", 1, 100, 76, 3},
		{"held below", 2, 60, 76, -3},
		{"no mean known", 1, 76, 0, 0},
	} {
		n := noteOf(exprtest.Having("rise_and_fall", c.k), func(n *expr.Note) { n.Key, n.MeanKey = c.key, c.meanKey })
		exprtest.Near(t, c.what, shaped(t, RiseAndFall{}, n).NuanceDB, c.want, 1e-9)
	}
}
