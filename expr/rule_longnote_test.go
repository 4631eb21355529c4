package expr

import (
	"testing"
	"time"
)

func TestLongNote(t *testing.T) {
	for _, c := range []struct {
		what   string
		k      float64
		length time.Duration
		marks  Marks
		start  Gesture
		arc    float64
	}{
		{"length not known", 1, Unknown, 0, Gesture{}, 0},
		{"short", 1, time.Second, 0, Gesture{}, 0},
		{"two seconds", 1, 2 * time.Second, 0, Gesture{}, 1},
		{"two seconds, k = 2", 2, 2 * time.Second, 0, Gesture{}, 2},
		{"very long", 1, 9 * time.Second, 0, Gesture{}, 3},
		{"made short by a rule", 1, 9 * time.Second, 0, Gesture{Sounding: 900 * ms}, 0},
		{"under a hairpin", 1, 4 * time.Second, Louder, Gesture{}, 0},
		{"on its way to the next", 1, 4 * time.Second, 0, Gesture{GlideDB: -2, Glide: 4 * time.Second}, 0},
		{"accented", 1, 4 * time.Second, Accented, Gesture{}, 0},
	} {
		n := noteOf(Habits{LongNote: c.k}, func(n *Note) { n.Length, n.Marks = c.length, c.marks })
		g := c.start
		if did := (LongNote{}).Shape(n, &g); did != (c.arc > 0) {
			t.Errorf("%s: says %v", c.what, did)
		}
		near(t, c.what, g.ArcDB, c.arc, 1e-9)
		near(t, c.what+", start", g.NuanceDB, -c.arc/2, 1e-9)
		if c.arc > 0 && g.Arc != c.length {
			t.Errorf("%s: arc of %v", c.what, g.Arc)
		}
	}
	struck := noteOf(Habits{LongNote: 1}, func(n *Note) { n.Length = 4 * time.Second })
	struck.Profile.Sustain.K = 0
	if g := shaped(t, LongNote{}, struck); g.ArcDB != 0 {
		t.Errorf("what is struck cannot grow, got %+v", g)
	}
}

// A note has one life: an arc or a glide, else a swell.
func TestSwellingYields(t *testing.T) {
	n := noteOf(Habits{}, func(*Note) {})
	for _, g := range []Gesture{{ArcDB: 1, Arc: time.Second}, {GlideDB: -1, Glide: time.Second}} {
		was := g
		if (Swelling{}).Shape(n, &g) || g != was {
			t.Errorf("%+v became %+v", was, g)
		}
	}
	if g := shaped(t, Swelling{}, n); g.SwellDB != 1.5 {
		t.Errorf("by itself it swells by %g dB", g.SwellDB)
	}
}
