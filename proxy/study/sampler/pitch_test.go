package sampler

import (
	"math"
	"testing"
	"time"
)

// A note of two partials that is bent is found where it lies, low or high, and what does not agree is not believed.
func TestBent(t *testing.T) {
	const rate = 44100
	for _, key := range []int{36, 60, 88, 100} {
		for _, cents := range []float64{0, 200, -200, 57} {
			hz := 440 * math.Exp2((float64(key-69)*100+cents)/1200)
			x := make([]float32, rate/8)
			for i := range x {
				at := 2 * math.Pi * hz * float64(i) / rate
				x[i] = float32(0.3*math.Sin(at) + 0.1*math.Sin(2*at))
			}
			r := &Recording{Rate: rate, Channels: [][]float32{x}}
			got := r.bent(&clock{rate: rate}, &note{key: byte(key)}, 0, 125*time.Millisecond)
			if math.Abs(got-cents) > 3 {
				t.Errorf("key %d bent by %g cents is measured at %.1f", key, cents, got)
			}
		}
	}
	for _, c := range []struct{ rest, up, down, want float64 }{
		{0, 200, -200, 2}, {5, 195, -190, 1.925}, {0, 60, -200, 0}, {0, -90, 95, 0}, {0, math.NaN(), -200, 0}, {1, 2, 0, 0.1},
	} {
		if got := bend(c.rest, c.up, c.down); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%+v: %g", c, got)
		}
	}
}
