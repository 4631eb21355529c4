package expr

import (
	"math"
	"testing"
	"time"
)

const ms = time.Millisecond

// near asserts that a value is what is wanted, give or take a tolerance.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %.4f, want %.4f ± %g", what, got, want, tolerance)
	}
}

func mustCurve(points ...Point) *Curve {
	c, err := NewCurve(points...)
	if err != nil {
		panic(err)
	}
	return c
}
