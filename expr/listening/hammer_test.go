package listening

import (
	"fmt"
	"testing"
	"time"
)

func inMS(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// The figures of this file follow from Goebl 2001 and Goebl and Bresin 2003, both from memory.

func TestTravelTime(t *testing.T) {
	for v, want := range map[float64]float64{0.5: 132.4, 1: 89.2, 2: 60.1, 4: 40.5} {
		printed(t, fmt.Sprintf("%g m/s", v), inMS(TravelTime(v)), want, 1)
	}
}

func TestHammerVelocity(t *testing.T) {
	for velocity, want := range map[uint8]float64{27: .5, 52: 1, 77: 2, 102: 4} {
		printed(t, fmt.Sprint(velocity), HammerVelocity(velocity), want, 12)
	}
}

func TestLead(t *testing.T) {
	for _, row := range []struct {
		accompaniment, melody uint8
		want                  float64
	}{
		{50, 65, 19.4}, {50, 70, 24.9}, {60, 75, 16.6}, {60, 80, 21.3}, {80, 95, 12.1},
	} {
		printed(t, fmt.Sprint(row), inMS(Lead(row.accompaniment, row.melody)), row.want, 1)
		if lead, back := Lead(row.accompaniment, row.melody), Lead(row.melody, row.accompaniment); back != -lead {
			t.Errorf("%v: lead %v, the other way round %v", row, lead, back)
		}
	}
	if lead := Lead(255, 127); lead != 0 {
		t.Errorf("a velocity out of range leads by %v", lead)
	}
	for v := uint8(1); v < 127; v++ {
		if Lead(v, v+1) <= 0 {
			t.Errorf("velocity %d does not come before %d", v+1, v)
		}
	}
}
