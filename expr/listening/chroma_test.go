package listening

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// triad is a major or minor triad on a pitch class.
func triad(root int, minor bool) *Chroma {
	if minor {
		return chromaOf(root, root+3, root+7)
	}
	return chromaOf(root, root+4, root+7)
}

// The figures follow from the formula of Harte et al. 2006, as quoted in secondary texts.
func TestCentroid(t *testing.T) {
	at := triad(0, false).Centroid()
	printedAll(t, "C major", at[:], []float64{.4553, .4553, .3333, .6667, .2887, 0}, 4)
	if at := new(Chroma).Centroid(); at != (Centroid{}) {
		t.Errorf("nothing lies at %v", at)
	}
}

func TestDistance(t *testing.T) {
	for _, row := range []struct {
		what string
		from *Chroma
		to   *Chroma
		want float64
	}{
		{"C Am", triad(0, false), triad(9, true), .799},
		{"C Em", triad(0, false), triad(4, true), .849},
		{"C Cm", triad(0, false), triad(0, true), .849},
		{"C G7", triad(0, false), chromaOf(7, 11, 14, 17), 1.091},
		{"C F", triad(0, false), triad(5, false), 1.213},
		{"C G", triad(0, false), triad(7, false), 1.213},
		{"C E", triad(0, false), triad(4, false), 1.222},
		{"C Db", triad(0, false), triad(1, false), 1.705},
		{"C F#", triad(0, false), triad(6, false), 1.970},
		{"G G7", triad(7, false), chromaOf(7, 11, 14, 17), .543},
	} {
		printed(t, row.what, Distance(row.from.Centroid(), row.to.Centroid()), row.want, 3)
	}
}

// The smallest distance of two triads, of which HarmonyChange makes use.
func TestTriadsAreFarApart(t *testing.T) {
	nearest := math.Inf(1)
	for i := range 24 {
		for j := range i {
			nearest = min(nearest, Distance(triad(i%12, i >= 12).Centroid(), triad(j%12, j >= 12).Centroid()))
		}
	}
	printed(t, "smallest distance", nearest, .799, 3)
	if nearest <= HarmonyChange {
		t.Errorf("two triads are %g apart, and taken for one", nearest)
	}
}

func TestDistanceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawChroma(t), drawChroma(t)
		up := rapid.IntRange(0, 11).Draw(t, "semitones")
		d := Distance(a.Centroid(), b.Centroid())
		if d < 0 || d > 3 {
			t.Fatalf("distance %g", d)
		}
		if moved := Distance(a.transposed(up).Centroid(), b.transposed(up).Centroid()); math.Abs(moved-d) > 1e-9 {
			t.Fatalf("distance %g, %d semitones up %g", d, up, moved)
		}
		var twice Chroma
		for i := range a {
			twice[i] = 2 * a[i]
		}
		if louder := Distance(twice.Centroid(), b.Centroid()); math.Abs(louder-d) > 1e-9 {
			t.Fatalf("distance %g, at twice the weight %g", d, louder)
		}
	})
}

func TestChromaAddsAndRemoves(t *testing.T) {
	var c Chroma
	c.Add(60, 1)
	c.Add(72, .5)
	c.Add(-1, 1)
	c.Remove(60, 1)
	if want := (Chroma{0: .5, 11: 1}); c != want {
		t.Errorf("%v, want %v", c, want)
	}
	c.Remove(0, 2)
	if want := (Chroma{11: 1}); c != want {
		t.Errorf("after too much was removed %v, want %v", c, want)
	}
}

func ExampleDistance() {
	c, am := Chroma{0: 1, 4: 1, 7: 1}, Chroma{9: 1, 0: 1, 4: 1}
	fmt.Println(Distance(c.Centroid(), am.Centroid()) > HarmonyChange)
	// Output: true
}
