package exprtest

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
)

// Near asserts that a value is what is wanted, give or take a tolerance.
func Near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: got %.4f, want %.4f ± %g", what, got, want, tolerance)
	}
}

// Thousandth is one of a second: a millisecond.
const Thousandth = time.Millisecond

// On is a note-on of the first channel.
func On(at time.Duration, key, velocity byte) expr.Event {
	return expr.Short(at, 0, 0x90, key, velocity)
}

// Off is a note-off of the first channel.
func Off(at time.Duration, key byte) expr.Event { return expr.Short(at, 0, 0x80, key, 64) }

// CC is a controller of the first channel.
func CC(at time.Duration, n, v byte) expr.Event { return expr.Short(at, 0, 0xB0, n, v) }
