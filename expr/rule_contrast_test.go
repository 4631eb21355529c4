package expr

import (
	"testing"
	"time"
)

// Friberg 1991 (from memory): knots at 30, 200, 400, 600 ms of 0, -16.5, -10.5, 0 ms and 0,
// -0.825, -0.525, 0 dB, linear between.
func TestDurationContrast(t *testing.T) {
	for _, c := range []struct {
		ioi    time.Duration
		ms, db float64
	}{
		{Unknown, 0, 0}, {0, 0, 0}, {30 * ms, 0, 0}, {115 * ms, -8.25, -0.4125}, {200 * ms, -16.5, -0.825},
		{300 * ms, -13.5, -0.675}, {400 * ms, -10.5, -0.525}, {500 * ms, -5.25, -0.2625}, {600 * ms, 0, 0}, {2 * time.Second, 0, 0},
	} {
		longer, db := durationContrast(c.ioi)
		near(t, c.ioi.String()+", ms", longer.Seconds()*1000, c.ms, 1e-5)
		near(t, c.ioi.String()+", dB", db, c.db, 1e-9)
	}
}

func TestContrast(t *testing.T) {
	for _, c := range []struct {
		what         string
		k            float64
		length, next time.Duration
		start        Gesture
		db           float64
		sounding     time.Duration
	}{
		{"nothing known", 1, Unknown, Unknown, Gesture{}, 0, 0},
		{"detached", 1, 150 * ms, 200 * ms, Gesture{}, -0.825, 133500 * time.Microsecond},
		{"k = 2", 2, 150 * ms, 200 * ms, Gesture{}, -1.65, 117 * ms},
		{"k = 0.5", 0.5, 150 * ms, 200 * ms, Gesture{}, -0.4125, 141750 * time.Microsecond},
		{"joined to the next", 1, 200 * ms, 200 * ms, Gesture{}, -0.825, 0},
		{"after another rule", 1, 200 * ms, 200 * ms, Gesture{Sounding: 120 * ms}, -0.825, 103500 * time.Microsecond},
		{"lapping over", 1, 200 * ms, 200 * ms, Gesture{Overlap: 30 * ms}, -0.825, 0},
		{"never under half", 2, 40 * ms, 200 * ms, Gesture{}, -1.65, 20 * ms},
		{"only the next onset known", 1, Unknown, 400 * ms, Gesture{}, -0.525, 0},
		{"only the length known", 1, 400 * ms, Unknown, Gesture{}, -0.525, 389500 * time.Microsecond},
		{"long", 1, 700 * ms, 800 * ms, Gesture{}, 0, 0},
		{"short before a rest", 1, 200 * ms, 800 * ms, Gesture{}, 0, 0},
	} {
		n := noteOf(Habits{Contrast: c.k}, func(n *Note) { n.Length, n.ToNext = c.length, c.next })
		g := c.start
		if did := (Contrast{}).Shape(n, &g); did != (c.db != 0) {
			t.Errorf("%s: says %v", c.what, did)
		}
		near(t, c.what, g.NuanceDB, c.db, 1e-9)
		if g.Sounding != c.sounding {
			t.Errorf("%s: sounds %v, want %v", c.what, g.Sounding, c.sounding)
		}
	}
}
