package listening

import (
	"math"
	"slices"
)

// The profiles of a line, and how much each says about its boundaries.
//
// Source: E. Cambouropoulos, "The Local Boundary Detection Model (LBDM) and its
// application in the study of expressive timing", ICMC 2001, as quoted in secondary texts.
const (
	pitchProfile = iota
	ioiProfile
	restProfile
	numProfiles
)

var profileWeight = [numProfiles]float64{pitchProfile: 0.25, ioiProfile: 0.5, restProfile: 0.25}

// BoundaryThreshold is the strength from which a local maximum is commonly taken for a
// boundary. Source: as [Boundaries].
const BoundaryThreshold = 0.5

// Boundaries gives the strength, 0..1, of the boundary in every interval between two
// successive notes of a line: strength i lies between notes i and i+1. It returns them in
// dst, from its start, grown where it must be.
//
// The arguments describe those intervals, and are finite and not negative: the size of the
// pitch interval, the time between the onsets, and the silence from the end of
// the one to the onset of the other. Units do not matter. What the shortest has no value for is
// left out.
//
// Each profile is taken for its changes, as [Changes] does, and the three are added up: a
// quarter pitch, half onsets, a quarter rests.
//
// Source: E. Cambouropoulos, ICMC 2001, as quoted in secondary texts.
func Boundaries(dst, pitch, ioi, rest []float64) []float64 {
	n := min(len(pitch), len(ioi), len(rest))
	dst = slices.Grow(dst[:0], n)[:n]
	clear(dst)
	for p, x := range [numProfiles][]float64{pitch, ioi, rest} {
		addChanges(dst, x[:n], profileWeight[p])
	}
	return dst
}

// Changes gives how much each interval stands out from its two neighbours in one profile x,
// 0..1, 1 for the one that does most; 0 for all if none does. It returns them in dst, from its
// start, grown where it must be; dst and x must not overlap.
//
// Between neighbours the change is r = |x1-x2|/(x1+x2), 0 if both are 0; an interval has
// x·(r before + r after), where r is 0 before the first and after the last.
//
// Source: as [Boundaries].
func Changes(dst, x []float64) []float64 {
	dst = slices.Grow(dst[:0], len(x))[:len(x)]
	clear(dst)
	addChanges(dst, x, 1)
	return dst
}

// addChanges adds the changes of a profile, the greatest of which counts as weight.
func addChanges(dst, x []float64, weight float64) {
	most := 0.0
	for i := range x {
		most = max(most, changeAt(x, i))
	}
	if most == 0 {
		return
	}
	for i := range x {
		dst[i] += weight * (changeAt(x, i) / most)
	}
}

// changeAt takes the first and the last interval for their own outer neighbours: that
// is no change.
func changeAt(x []float64, i int) float64 {
	return change(x[max(i-1, 0)], x[i], x[min(i+1, len(x)-1)])
}

func change(before, x, after float64) float64 {
	return x * (contrast(before, x) + contrast(x, after))
}

func contrast(a, b float64) float64 {
	if a == b {
		return 0
	}
	return math.Abs(a-b) / (a + b)
}
