package habits

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// Friberg 1991 (from memory): knots at 30, 200, 400, 600 ms of 0, -16.5, -10.5, 0 ms and 0,
// -0.825, -0.525, 0 dB, linear between.
func TestQuickNote(t *testing.T) {
	for _, c := range []struct {
		ioi    time.Duration
		ms, db float64
	}{
		{expr.Unknown, 0, 0}, {0, 0, 0}, {30 * exprtest.Thousandth, 0, 0}, {115 * exprtest.Thousandth, -8.25, -0.4125}, {200 * exprtest.Thousandth, -16.5, -0.825},
		{300 * exprtest.Thousandth, -13.5, -0.675}, {400 * exprtest.Thousandth, -10.5, -0.525}, {500 * exprtest.Thousandth, -5.25, -0.2625}, {600 * exprtest.Thousandth, 0, 0}, {2 * time.Second, 0, 0},
	} {
		longer, db := quickNote(c.ioi)
		exprtest.Near(t, c.ioi.String()+", ms", longer.Seconds()*1000, c.ms, 1e-5)
		exprtest.Near(t, c.ioi.String()+", dB", db, c.db, 1e-9)
	}
}

func TestQuickNotes(t *testing.T) {
	for _, c := range []struct {
		what         string
		k            float64
		length, next time.Duration
		start        expr.Gesture
		db           float64
		sounding     time.Duration
	}{
		{"nothing known", 1, expr.Unknown, expr.Unknown, expr.Gesture{}, 0, 0},
		{"detached", 1, 150 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{}, -0.825, 133500 * time.Microsecond},
		{"amount 2", 2, 150 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{}, -1.65, 117 * exprtest.Thousandth},
		{"k = 0.5", 0.5, 150 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{}, -0.4125, 141750 * time.Microsecond},
		{"joined to the next", 1, 200 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{}, -0.825, 0},
		{"after another habit", 1, 200 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{Sounding: 120 * exprtest.Thousandth}, -0.825, 103500 * time.Microsecond},
		{"lapping over", 1, 200 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{Overlap: 30 * exprtest.Thousandth}, -0.825, 0},
		{"never under half", 2, 40 * exprtest.Thousandth, 200 * exprtest.Thousandth, expr.Gesture{}, -1.65, 20 * exprtest.Thousandth},
		{"only the next onset known", 1, expr.Unknown, 400 * exprtest.Thousandth, expr.Gesture{}, -0.525, 0},
		{"only the length known", 1, 400 * exprtest.Thousandth, expr.Unknown, expr.Gesture{}, -0.525, 389500 * time.Microsecond},
		{"long", 1, 700 * exprtest.Thousandth, 800 * exprtest.Thousandth, expr.Gesture{}, 0, 0},
		{"short before a rest", 1, 200 * exprtest.Thousandth, 800 * exprtest.Thousandth, expr.Gesture{}, 0, 0},
	} {
		n := noteOf(exprtest.Having("quick_notes", c.k), func(n *expr.Note) { n.Length, n.ToNext = c.length, c.next })
		g := c.start
		if did := ask(QuickNotes{}, n, &g); did != (c.db != 0) {
			t.Errorf("%s: says %v", c.what, did)
		}
		exprtest.Near(t, c.what, g.NuanceDB, c.db, 1e-9)
		if g.Sounding != c.sounding {
			t.Errorf("%s: sounds %v, want %v", c.what, g.Sounding, c.sounding)
		}
	}
}
