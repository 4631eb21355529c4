package habits

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
)

func TestAPianistHoldsNotesAsMeasured(t *testing.T) {
	p := &expr.Profile{}
	p.Pedal.Kind = expr.PianoPedal
	n := &expr.Note{Profile: p, Key: 60}
	n.Grade, n.Length, n.Held = expr.Scored, time.Second, 0.6
	for _, c := range []struct {
		k    float64
		want time.Duration
	}{{0, 0}, {0.5, 775 * time.Millisecond}, {1, 600 * time.Millisecond}, {2, 360 * time.Millisecond}} {
		n.Amount = c.k
		g := &expr.Gesture{}
		if did := (Articulation{}).Shape(n, g); did != (c.want > 0) {
			t.Errorf("k %g: shapes %v", c.k, did)
		}
		if math.Abs(float64(g.Sounding-c.want)) > float64(time.Millisecond) {
			t.Errorf("k %g: sounds for %v, want %v", c.k, g.Sounding, c.want)
		}
	}
	n.Amount = 2
	n.Held = 0.001
	g := &expr.Gesture{}
	if (Articulation{}).Shape(n, g); g.Sounding < shortestHold {
		t.Errorf("a note sounds for %v, want %v at least", g.Sounding, shortestHold)
	}
	p.Pedal.Kind = expr.NoPedal
	g = &expr.Gesture{}
	if (Articulation{}).Shape(n, g); g.Sounding != 0 {
		t.Errorf("who is no pianist holds a note for %v of %v", g.Sounding, n.Length)
	}
}
