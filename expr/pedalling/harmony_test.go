package pedalling

import (
	"math"
	"testing"
)

func pcs(all ...int) chroma {
	var c classes
	for _, pc := range all {
		c |= classOf(pc)
	}
	return c.chroma()
}

// Computed from the formula of Harte, Sandler and Gasser 2006 (SEEN-2).
func TestDistance(t *testing.T) {
	c := pcs(0, 4, 7)
	for _, test := range []struct {
		name string
		a, b chroma
		want float64
	}{
		{"C to A minor", c, pcs(9, 0, 4), 0.799},
		{"C to E minor", c, pcs(4, 7, 11), 0.849},
		{"C to C minor", c, pcs(0, 3, 7), 0.849},
		{"C to G7", c, pcs(7, 11, 2, 5), 1.091},
		{"C to F", c, pcs(5, 9, 0), 1.213},
		{"C to E", c, pcs(4, 8, 11), 1.222},
		{"C to D flat", c, pcs(1, 5, 8), 1.706},
		{"C to F sharp", c, pcs(6, 10, 1), 1.970},
		{"G to G7", pcs(7, 11, 2), pcs(7, 11, 2, 5), 0.543},
		{"C to itself", c, c, 0},
		{"C to silence", c, pcs(), 1.026}, // the length of its centroid
	} {
		if got := distance(&test.a, &test.b); math.Abs(got-test.want) > 0.0006 {
			t.Errorf("%s: %.4f, want %.3f", test.name, got, test.want)
		}
	}
	want := [6]float64{0.4553, 0.4553, 0.3333, 0.6667, 0.2887, 0}
	for i, x := range centroid(&c) {
		if math.Abs(x-want[i]) > 0.0001 {
			t.Errorf("centroid of C [%d] = %.4f, want %.4f", i, x, want[i])
		}
	}
}

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
			least = min(least, distance(&x, &y))
		}
	}
	if least <= styles[Piano].threshold || math.Abs(least-0.799) > 0.0005 {
		t.Errorf("the closest triads are %.4f apart", least)
	}
}

// Dyads on C4 of six partials, computed from the formula of Sethares 1993 (SEEN-2).
func TestRoughness(t *testing.T) {
	for i, want := range []float64{0.172, 3.851, 2.721, 2.152, 1.975, 1.336, 1.931, 0.694, 1.812, 1.183, 1.429, 1.887, 0.100} {
		if got := roughness(60, 60+i); math.Abs(got-want) > 0.001 {
			t.Errorf("%d semitones: %.4f, want %.3f", i, got, want)
		}
	}
	// The curve's peak: 0.899 at s = 0.2203.
	if got := dissonance(440, 440+0.2203*(0.0207*440+18.96)/0.24); math.Abs(got-0.899) > 0.001 {
		t.Errorf("peak %.4f, want 0.899", got)
	}
}

func TestDyadsRemember(t *testing.T) {
	var d dyads
	for range 2 {
		for _, interval := range []int{1, 7, widest} {
			want := roughness(50, 50+interval) - roughness(50) - roughness(50+interval)
			if got := d.clash(50+interval, 50); math.Abs(got-want) > 1e-5 {
				t.Errorf("%d semitones: %.6f, want %.6f", interval, got, want)
			}
		}
	}
	if d.clash(50, 50) != 0 || d.clash(50, 51+widest) != 0 {
		t.Error("a unison or too wide an interval clashes")
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
