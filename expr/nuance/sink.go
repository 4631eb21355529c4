package nuance

import "math"

// sink takes terms in the order of their names.
type sink struct {
	to []float64
	n  int
}

func (t *sink) add(x float64) {
	t.to[t.n] = x
	t.n++
}

func (t *sink) flag(b bool) { t.add(is(b)) }

// is is 1 for what is, and 0 for what is not.
func is(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// octaves is a distance in semitones in octaves, within bounds in semitones.
func octaves(d, lo, hi float64) float64 { return clip(d, lo, hi) / 12 }

func clip(x, lo, hi float64) float64 { return min(max(x, lo), hi) }

// fade is 1 at a distance of 0 and falls with it, by a time.
func fade(distance, by float64) float64 { return math.Exp(-max(distance, 0) / by) }
