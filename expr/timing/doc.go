// Package timing says by how much players depart from written time: each player about
// the ensemble's beat ([Noise], [Ensemble]), and the ensemble about the notation's
// ([Warp] where the phrases are known, [Endings] where only the next boundary is).
//
// Every answer is a shift: what is to be added to a note's written time. A shift may be
// negative; whoever plays in real time adds a delay of the same length to everything.
// [TempoMap] writes a warp as tempos for a file whose notes keep their places.
//
// Time is time.Duration since the start of the piece or of the engine. Nothing here asks
// a clock or keeps anything between two runs: the same seed and the same questions give
// the same answers. Nothing is allocated for a note.
package timing

import "time"

// shifter is a shift as a function of written time.
type shifter interface {
	At(t time.Duration) time.Duration
}

// inverse finds the first written time in [from, to] that s puts at played or later.
// Written time must not run backward under s.
func inverse(s shifter, played, from, to time.Duration) time.Duration {
	for from < to {
		middle := from + (to-from)/2
		if middle+s.At(middle) >= played {
			to = middle
		} else {
			from = middle + 1
		}
	}
	return to
}

// quantity holds the amount k of a habit within 0 (off) and 2; 1 is normal.
func quantity(k float64) float64 {
	if !(k > 0) { // also not a number
		return 0
	}
	return min(k, 2)
}
