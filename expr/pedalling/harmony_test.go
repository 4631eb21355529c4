package pedalling

import (
	"math"
	"testing"

	"swellbox/expr/listening"
)

// No two triads lie under the piano's threshold, and no added minor seventh over it.
func TestThresholdParts(t *testing.T) {
	least := math.Inf(1)
	var triads []classes
	for root := range 12 {
		triads = append(triads, classes(1|1<<4|1<<7).turned(root), classes(1|1<<3|1<<7).turned(root))
	}
	for i, a := range triads {
		for _, b := range triads[:i] {
			x, y := a.chroma(), b.chroma()
			least = min(least, listening.Distance(x.Centroid(), y.Centroid()))
		}
	}
	if least <= styles[Piano].threshold || math.Abs(least-0.799) > 0.0005 {
		t.Errorf("the closest triads are %.4f apart", least)
	}
}

func TestStacked(t *testing.T) {
	for _, test := range []struct {
		name string
		c    classes
		want bool
	}{
		{"C E G", 1 | 1<<4 | 1<<7, true},
		{"B D F", 1<<11 | 1<<2 | 1<<5, true},
		{"G7 without fifth", 1<<7 | 1<<11 | 1<<5, true},
		{"C E G sharp", 1 | 1<<4 | 1<<8, true},
		{"C D E", 1 | 1<<2 | 1<<4, false},
		{"C F G", 1 | 1<<5 | 1<<7, false},
		{"C E G B D", 1 | 1<<4 | 1<<7 | 1<<11 | 1<<2, false},
	} {
		if got := test.c.isStacked(); got != test.want {
			t.Errorf("%s: %v", test.name, got)
		}
	}
}
