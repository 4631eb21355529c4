package listening

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// printed checks a figure against one that was printed with so many digits after the point.
func printed(t *testing.T, what string, got, want float64, digits int) {
	t.Helper()
	if half := 0.5 * math.Pow10(-digits); !(math.Abs(got-want) <= half*(1+1e-9)) {
		t.Errorf("%s: %.*f, printed %.*f", what, digits+2, got, digits, want)
	}
}

// printedAll is printed for a row of figures.
func printedAll(t *testing.T, what string, got, want []float64, digits int) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d figures %v, printed %d", what, len(got), got, len(want))
	}
	for i := range got {
		printed(t, what, got[i], want[i], digits)
	}
}

// chromaOf counts pitch classes, one for each note.
func chromaOf(keys ...int) *Chroma {
	c := new(Chroma)
	for _, key := range keys {
		c.Add(key, 1)
	}
	return c
}

// transposed moves all pitch classes up.
func (c *Chroma) transposed(by int) *Chroma {
	up := new(Chroma)
	for i, w := range c {
		up.Add(i+by, w)
	}
	return up
}

// drawChroma draws small whole weights, which add up without rounding in any order.
func drawChroma(t *rapid.T) *Chroma {
	c := new(Chroma)
	for i := range c {
		c[i] = float64(rapid.IntRange(0, 4).Draw(t, "weight"))
	}
	return c
}
