package listening

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The figures follow from the formula of Cambouropoulos 2001, as quoted in secondary texts.
func TestChanges(t *testing.T) {
	for _, row := range []struct {
		what    string
		x, want []float64
	}{
		{"onsets", []float64{500, 500, 500, 1000, 500, 500, 500}, []float64{0, 0, .25, 1, .25, 0, 0}},
		{"pitch", []float64{2, 2, 2, 7, 2, 2, 1}, []float64{0, 0, .143, 1, .143, .086, .043}},
		{"even", []float64{3, 3, 3}, []float64{0, 0, 0}},
		{"no rests", []float64{0, 0, 0}, []float64{0, 0, 0}},
		{"one rest", []float64{0, 5, 0}, []float64{0, 1, 0}},
		{"one interval", []float64{5}, []float64{0}},
		{"none", nil, nil},
	} {
		printedAll(t, row.what, Changes(nil, row.x), row.want, 3)
	}
}

func TestBoundaries(t *testing.T) {
	pitch := []float64{2, 2, 2, 7, 2, 2, 1}
	ioi := []float64{500, 500, 500, 1000, 500, 500, 500}
	rest := []float64{0, 0, 0, 0, 0, 500, 0}
	// By hand from the two printed profiles: a quarter, a half, a quarter.
	want := []float64{0, 0, .25*.143 + .5*.25, .75, .25*.143 + .5*.25, .25*.086 + .25, .25 * .043}
	printedAll(t, "boundaries", Boundaries(nil, pitch, ioi, rest), want, 3)

	old := []float64{9, 9, 9, 9, 9, 9, 9, 9}
	got := Boundaries(old, pitch, ioi, rest[:4])
	if len(got) != 4 || &got[0] != &old[0] {
		t.Errorf("%d strengths in new memory, want 4 in the old", len(got))
	}
	printed(t, "without what the shortest lacks", got[3], .75, 9)
}

func drawProfile(t *rapid.T, n int, what string) []float64 {
	return rapid.SliceOfN(rapid.Float64Range(0, 1000), n, n).Draw(t, what)
}

func TestBoundariesProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 30).Draw(t, "intervals")
		pitch, ioi, rest := drawProfile(t, n, "pitch"), drawProfile(t, n, "ioi"), drawProfile(t, n, "rest")
		b := Boundaries(nil, pitch, ioi, rest)
		for i, strength := range b {
			if !(strength >= 0 && strength <= 1) {
				t.Fatalf("strength %d is %g", i, strength)
			}
		}

		tempo := rapid.Float64Range(0.1, 10).Draw(t, "tempo")
		for i := range ioi {
			ioi[i] *= tempo
			rest[i] *= tempo
		}
		for i, strength := range Boundaries(nil, pitch, ioi, rest) {
			if math.Abs(strength-b[i]) > 1e-6 {
				t.Fatalf("at %g of the tempo strength %d is %g, not %g", tempo, i, strength, b[i])
			}
		}

		for _, profile := range [][]float64{pitch, ioi, rest} {
			slices.Reverse(profile)
		}
		slices.Reverse(b)
		for i, strength := range Boundaries(nil, pitch, ioi, rest) {
			if math.Abs(strength-b[i]) > 1e-6 {
				t.Fatalf("backwards strength %d is %g, not %g", i, strength, b[i])
			}
		}
	})
}
