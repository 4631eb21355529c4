package habits

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

func TestBloomOfLongNotes(t *testing.T) {
	for _, c := range []struct {
		what   string
		k      float64
		length time.Duration
		marks  expr.Marks
		start  expr.Gesture
		arc    float64
	}{
		{"length not known", 1, expr.Unknown, 0, expr.Gesture{}, 0},
		{"short", 1, time.Second, 0, expr.Gesture{}, 0},
		{"two seconds", 1, 2 * time.Second, 0, expr.Gesture{}, 1},
		{"two seconds, amount 2", 2, 2 * time.Second, 0, expr.Gesture{}, 2},
		{"very long", 1, 9 * time.Second, 0, expr.Gesture{}, 3},
		{"made short by another habit", 1, 9 * time.Second, 0, expr.Gesture{Sounding: 900 * exprtest.Thousandth}, 0},
		{"under a hairpin", 1, 4 * time.Second, expr.Louder, expr.Gesture{}, 0},
		{"on its way to the next", 1, 4 * time.Second, 0, expr.Gesture{GlideDB: -2, Glide: 4 * time.Second}, 0},
		{"accented", 1, 4 * time.Second, expr.Accented, expr.Gesture{}, 0},
	} {
		n := noteOf(rising(c.k), func(n *expr.Note) { n.Length, n.Marks = c.length, c.marks })
		g := c.start
		if did := ask(Bloom{}, n, &g); did != (c.arc > 0) {
			t.Errorf("%s: says %v", c.what, did)
		}
		exprtest.Near(t, c.what, g.Arc.DB, c.arc, 1e-9)
		exprtest.Near(t, c.what+", start", g.NuanceDB, -c.arc/2, 1e-9)
		if c.arc > 0 && g.Arc.Over != c.length {
			t.Errorf("%s: arc of %v", c.what, g.Arc.Over)
		}
	}
	struck := noteOf(rising(1), func(n *expr.Note) { n.Length = 4 * time.Second })
	struck.Profile.Amounts.Set("bloom", 0)
	if g := shaped(t, Bloom{}, struck); g.Arc.DB != 0 {
		t.Errorf("what is struck cannot grow, got %+v", g)
	}
}

// rising gives a player so much of what long notes do.
func rising(amount float64) func(*expr.Profile) {
	return func(p *expr.Profile) { p.Bloom.LongNotes = amount }
}

// A note has one life: an arc or a glide, else a swell.
func TestBloomYieldsToAGlide(t *testing.T) {
	n := noteOf(func(p *expr.Profile) { p.Bloom.SwellDB = 1.5 }, func(*expr.Note) {})
	was := expr.Gesture{GlideDB: -1, Glide: time.Second}
	if g := was; ask(Bloom{}, n, &g) || g != was {
		t.Errorf("%+v became %+v", was, g)
	}
	if g := shaped(t, Bloom{}, n); g.SwellDB != 1.5 {
		t.Errorf("by itself it swells by %g dB", g.SwellDB)
	}
	n.Profile.Bloom.LongNotes, n.Length = 1, 2*time.Second
	if g := shaped(t, Bloom{}, n); g.SwellDB != 0 || g.Arc.DB != 1 {
		t.Errorf("a long note has one life, got %+v", g)
	}
}
