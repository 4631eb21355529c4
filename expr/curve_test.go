package expr

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The table printed with the law L = 40·log10(v/127) of General MIDI 2 and DLS.
func TestStandardLaw(t *testing.T) {
	law := StandardLaw()
	for v, want := range map[float64]float64{127: 0, 100: -4.15, 64: -11.90, 32: -23.95, 1: -84.15} {
		near(t, "law", law.At(v), want, 0.005)
	}
	if law.At(0) != Silence {
		t.Errorf("0 must be silence, got %g dB", law.At(0))
	}
}

// Dannenberg 2006, a = (m·v+b)², computed for R = 40 and 60 dB.
func TestPowerLaw(t *testing.T) {
	v := []float64{16, 32, 48, 64, 80, 96, 112}
	for r, want := range map[float64][]float64{
		40: {-27.4, -19.7, -14.4, -10.4, -7.1, -4.4, -2.0},
		60: {-33.3, -22.8, -16.2, -11.5, -7.8, -4.7, -2.1},
	} {
		law, err := PowerLaw(r)
		if err != nil {
			t.Fatal(err)
		}
		for i := range v {
			// Printed to one decimal; two of the fourteen are rounded the other way.
			near(t, "power law", law.At(v[i]), want[i], 0.06)
		}
		near(t, "range", law.At(127)-law.At(1), r, 1e-9)
	}
	for _, bad := range []float64{0, -1, 121, math.NaN(), math.Inf(1)} {
		if _, err := PowerLaw(bad); err == nil {
			t.Errorf("a range of %g dB must be refused", bad)
		}
	}
}

// The RPN 14A data of Fritsch and Carlson 1980, the paper's own example of data
// on which an ordinary cubic overshoots (values from memory). The check is the
// property they prove: no value outside its interval's two knots.
func TestCurveDoesNotOvershoot(t *testing.T) {
	c := mustCurve(Point{7.99, 0}, Point{8.09, 2.76429e-5}, Point{8.19, 4.37498e-2}, Point{8.7, 0.169183},
		Point{9.2, 0.469428}, Point{10, 0.943740}, Point{12, 0.998636}, Point{15, 0.999919}, Point{20, 0.999994})
	last := math.Inf(-1)
	for x := 7.9; x < 20.1; x += 0.001 {
		y := c.At(x)
		if y < last-1e-12 || y < 0 || y > 0.999994+1e-12 {
			t.Fatalf("at %g the curve gives %g after %g", x, y, last)
		}
		last = y
	}
}

func TestCurveRefuses(t *testing.T) {
	for name, pts := range map[string][]Point{
		"one point":   {{1, 1}},
		"x stands":    {{1, 1}, {1, 2}},
		"x falls":     {{1, 1}, {2, 2}, {1.5, 3}},
		"y turns":     {{1, 1}, {2, 3}, {3, 2}},
		"not finite":  {{1, 1}, {2, math.Inf(1)}},
		"no number":   {{1, math.NaN()}, {2, 2}},
		"none at all": nil,
	} {
		if _, err := NewCurve(pts...); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// Any monotone set of knots gives a curve that goes through them, is monotone
// between them, and whose inverse leads back.
func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 12).Draw(t, "knots")
		dir := rapid.SampledFrom([]float64{1, -1}).Draw(t, "direction")
		pts := make([]Point, n)
		x, y := 0.0, rapid.Float64Range(-60, 60).Draw(t, "y0")
		for i := range pts {
			pts[i] = Point{x, y}
			x += rapid.Float64Range(0.5, 30).Draw(t, "dx")
			if dy := rapid.Float64Range(0, 20).Draw(t, "dy"); dy > 1e-3 {
				y += dir * dy
			}
		}
		c, err := NewCurve(pts...)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range pts {
			if math.Abs(c.At(p.X)-p.Y) > 1e-9 {
				t.Fatalf("misses knot %v: %g", p, c.At(p.X))
			}
		}
		last := c.At(0)
		for x := 0.0; x <= 127; x += 0.25 {
			if y := c.At(x); (y-last)*dir < -1e-9 {
				t.Fatalf("turns back at %g: %g after %g", x, y, last)
			} else {
				last = y
			}
		}
		for v := 0; v <= 127; v++ {
			y := c.At(float64(v))
			back := c.Invert(y)
			if math.Abs(c.At(math.Round(back))-y) > 1e-6 {
				t.Fatalf("inverse of %g (at %d) is %g", y, v, back)
			}
			y += rapid.Float64Range(-1, 1).Draw(t, "aside")
			if nearest := int(math.Round(c.Invert(y))); c.NearestIs(v, y) && nearest != v {
				t.Fatalf("nearest to %g is %d, not %d", y, nearest, v)
			}
		}
	})
}
