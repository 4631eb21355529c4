package loudness

import (
	"fmt"
	"math"
	"slices"
)

// Limits of what [Measure] takes: the bilinear transform bends the shelf at a low rate,
// by 0.02 dB at 1 kHz at the lowest of these, and nobody records above the highest.
const (
	minRate = 22050
	maxRate = 384000
)

// Lengths in steps of 100 ms, by which both windows move.
const (
	stepsPerSecond = 10
	momentarySteps = 4  // 400 ms, 75 % overlap: BS.1770-5, Annex 1 (from a secondary copy)
	shortSteps     = 30 // 3 s: EBU Tech 3341, from memory
)

// Loudness is what was measured. A stretch of silence has negative infinity.
type Loudness struct {
	Integrated float64   // LKFS of the whole, gated
	Range      float64   // LU between soft and loud passages; 0 if under 3 s
	Momentary  []float64 // LKFS over 400 ms, every 100 ms
	ShortTerm  []float64 // LKFS over 3 s, every 100 ms
}

// Measure takes the loudness of a stereo recording of rate frames a second, 22050 to
// 384000. Full scale is 1. What is shorter than 400 ms, or nowhere over -70 LKFS,
// has an integrated loudness of negative infinity.
//
// Channels of different lengths, a rate out of range and samples that are not
// numbers are errors.
func Measure(left, right []float32, rate int) (*Loudness, error) {
	if len(left) != len(right) {
		return nil, fmt.Errorf("the left channel has %d frames and the right %d; both must be as long", len(left), len(right))
	}
	if rate < minRate || rate > maxRate {
		return nil, fmt.Errorf("a rate of %d Hz cannot be measured; use %d to %d", rate, minRate, maxRate)
	}
	steps, err := stepPowers(left, right, rate)
	if err != nil {
		return nil, err
	}
	momentary, short := windows(steps, momentarySteps), windows(steps, shortSteps)
	return &Loudness{
		Integrated: integrated(momentary), Range: spread(short),
		Momentary: levels(momentary), ShortTerm: levels(short),
	}, nil
}

// stepPowers is the K-weighted power of both channels together in each whole
// step of 100 ms.
func stepPowers(left, right []float32, rate int) ([]float64, error) {
	l, r := newWeighting(rate), newWeighting(rate)
	powers := make([]float64, 0, len(left)*stepsPerSecond/rate)
	for from := 0; ; {
		to := ((len(powers)+1)*rate + stepsPerSecond/2) / stepsPerSecond
		if to > len(left) {
			return powers, nil
		}
		sum := l.energy(left[from:to]) + r.energy(right[from:to]) // front channels have a weight of 1
		if math.IsNaN(sum) || math.IsInf(sum, 0) {
			return nil, fmt.Errorf("the recording has samples that are not numbers in the 100 ms before frame %d", to)
		}
		powers = append(powers, sum/float64(to-from))
		from = to
	}
}

// windows are the mean powers of every n neighbouring steps.
func windows(steps []float64, n int) []float64 {
	var out []float64
	for i := n; i <= len(steps); i++ {
		out = append(out, mean(steps[i-n:i]))
	}
	return out
}

// integrated is the mean of what is over both gates: -70 LKFS, then 10 LU under the
// mean of what that leaves. Source: BS.1770-5, Annex 1 (from a secondary copy).
func integrated(powers []float64) float64 {
	return level(mean(gated(powers, -70, -10)))
}

// spread is the distance between the 10th and the 95th percentile of what is over -70
// LKFS and no more than 20 LU under the mean of that. Source: EBU Tech 3342, from memory.
func spread(powers []float64) float64 {
	powers = slices.Sorted(slices.Values(gated(powers, -70, -20)))
	if len(powers) == 0 {
		return 0
	}
	at := func(share float64) float64 { return level(powers[int(math.Round(share*float64(len(powers)-1)))]) }
	return at(.95) - at(.10)
}

// gated leaves what is over a level in LKFS, then what is over a level relative to the
// mean of that.
func gated(powers []float64, absolute, relative float64) []float64 {
	powers = over(powers, power(absolute))
	return over(powers, mean(powers)*math.Pow(10, relative/10))
}

func over(powers []float64, gate float64) (out []float64) {
	for _, p := range powers {
		if p > gate {
			out = append(out, p)
		}
	}
	return out
}

// mean is 0 of nothing.
func mean(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

func levels(powers []float64) []float64 {
	out := make([]float64, len(powers))
	for i, p := range powers {
		out[i] = level(p)
	}
	return out
}

// offsetDB makes up for the weighting's gain at 997 Hz. Source: BS.1770-5, Annex 1 (from
// a secondary copy).
const offsetDB = -0.691

func level(power float64) float64 { return offsetDB + 10*math.Log10(power) }

func power(level float64) float64 { return math.Pow(10, (level-offsetDB)/10) }
