package listening

import (
	"math"
	"slices"
	"time"
)

// MelodicAccent is how much a note of a line stands out by the melody's turns, 0..1. Of
// the four MIDI notes all but key may be negative for none, or not known.
//
// Each three successive notes give two weights, one to the middle and one to the last; a note's
// accent is the product of the two that it gets. A note that repeats the one before it has
// accent 0, the first of a line 1. Without a next note it is the weight as
// the last of three alone. That is right at a line's end, and mostly too much where the next
// note is only not known, so the two sorts are not to be compared with each other.
//
// Source: J. M. Thomassen, "Melodic accent: Experiments and a tentative model", JASA 71 (1982)
// 1596-1605, as quoted in secondary texts, which give repeated notes "about 0".
func MelodicAccent(beforeLast, last, key, next int) float64 {
	if last < 0 {
		return 1
	}
	if key == last {
		return 0
	}
	accent := 1.0
	if beforeLast >= 0 {
		_, w := turn(beforeLast, last, key)
		accent *= w
	}
	if next >= 0 {
		w, _ := turn(last, key, next)
		accent *= w
	}
	return accent
}

// MelodicAccents gives the accent of each MIDI note of a finished line, as [MelodicAccent]. It
// returns them in dst, from its start, grown where it must be.
func MelodicAccents(dst []float64, keys []int) []float64 {
	dst = slices.Grow(dst[:0], len(keys))
	at := func(i int) int {
		if i < 0 || i >= len(keys) {
			return Unknown
		}
		return keys[i]
	}
	for i, key := range keys {
		dst = append(dst, MelodicAccent(at(i-2), at(i-1), key, at(i+1)))
	}
	return dst
}

// turn gives the weights of the middle and the last of three notes, by Thomassen.
func turn(a, b, c int) (middle, last float64) {
	switch {
	case a == b && b == c:
		return 0, 0
	case b == c:
		return 1, 0
	case a == b:
		return 0, 1
	case a < b && b > c:
		return 0.83, 0.17
	case a > b && b < c:
		return 0.71, 0.29
	case a < b:
		return 0.33, 0.67
	}
	return 0.5, 0.5
}

// DurationAccent is how much a note stands out by the time until the next onset, 0..1:
// (1-e^(-d/0.5 s))². A negative duration counts as none.
//
// Source: R. Parncutt, "A perceptual model of pulse salience and metrical accent in musical
// rhythms", Music Perception 11 (1994) 409-464; the parameters as quoted in secondary texts,
// the form from memory.
func DurationAccent(d time.Duration) float64 {
	const tau = 500 * time.Millisecond
	a := 1 - math.Exp(-float64(max(d, 0))/float64(tau))
	return a * a
}
