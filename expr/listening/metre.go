package listening

import (
	"math"
	"time"
)

// TempoPrior is how ready listeners are to hear a beat of a period, 0..1, 1 at 0.7 s:
// exp(-½·(log10(P/0.7 s)/0.2)²). It is 0 for a period of 0 or less.
//
// Source: R. Parncutt, Music Perception 11 (1994) 409-464, from memory.
func TempoPrior(period time.Duration) float64 {
	if period <= 0 {
		return 0
	}
	const preferred, spread = 0.7, 0.2
	z := math.Log10(period.Seconds()/preferred) / spread
	return math.Exp(-z * z / 2)
}

// beatTolerance is how far from a beat, in quarter notes, a note still counts as on it: under
// a 128th triplet. Ours.
const beatTolerance = 1.0 / 64

// BeatLevel is the strength of a place in a bar: 0 off the beat, 1 on a beat, 2 on a strong
// beat, 3 on the first. The place is in quarter notes since the start of the bar, or of any
// other bar of the same metre, before it if negative; within a 64th of a quarter note it is on
// the beat. The time signature is beats over unit: 6 and 8 for 6/8.
//
// Beats are as signed. Strong are the middle of 4 beats or a multiple of 4, and in compound
// metres (6, 9, 12, 15 …) every third, where the dotted notes fall. In 2, 3, 5, 7 and so on
// only the first is strong: the signature does not say how 5 is made up. A signature or a
// place that makes no sense has level 0.
//
// Common practice, no published source; the numbers of the levels are ours.
func BeatLevel(place float64, beats, unit int) int {
	if beats <= 0 || unit <= 0 || math.IsNaN(place) || math.IsInf(place, 0) {
		return 0
	}
	quarters := 4 / float64(unit) // of a beat
	beat := math.Round(place / quarters)
	if math.Abs(place-beat*quarters) > beatTolerance {
		return 0
	}
	n := int(math.Mod(beat, float64(beats)))
	if n < 0 {
		n += beats
	}
	switch {
	case n == 0:
		return 3
	case beats > 3 && beats%3 == 0:
		if n%3 == 0 {
			return 2
		}
	case beats%4 == 0 && n == beats/2:
		return 2
	}
	return 1
}
