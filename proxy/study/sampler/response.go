package sampler

import (
	"fmt"
	"math"

	"swellbox/expr"
)

// fromMiddle has the levels of keys be told against the middle one.
func (f *PartFit) fromMiddle() {
	for i := range f.Keys {
		if f.Keys[i].Key == int(f.Subject.middle()) {
			zero := f.Keys[i].DB
			for j := range f.Keys {
				for w := range zero {
					f.Keys[j].DB[w] -= zero[w]
				}
			}
			return
		}
	}
	f.Keys = nil // the middle one is not heard
}

// rising has a response never turn back: neighbours that do are each their mean.
func rising(steps []Step) {
	sort(steps)
	for i := 0; i+1 < len(steps); {
		if steps[i].DB <= steps[i+1].DB+1e-9 {
			i++
			continue
		}
		// Pool the two with all before them that they pass.
		from, sum := i, steps[i].DB+steps[i+1].DB
		for from > 0 && steps[from-1].DB > sum/float64(i+2-from) {
			from--
			sum += steps[from].DB
		}
		for k := from; k <= i+1; k++ {
			steps[k].DB = sum / float64(i+2-from)
		}
		i = max(from-1, 0)
	}
}

func sort(steps []Step) {
	for i := range steps {
		for j := i; j > 0 && steps[j].Value < steps[j-1].Value; j-- {
			steps[j], steps[j-1] = steps[j-1], steps[j]
		}
	}
}

// Ours: a controller that moves less than this between its ends is dead, dB.
const deadDB = 3

// span is how far a response goes.
func span(steps []Step) float64 {
	if len(steps) < 2 {
		return 0
	}
	return steps[len(steps)-1].DB - steps[0].DB
}

// judge says what of the part is odd.
func (f *PartFit) judge() {
	say := func(format string, args ...any) { f.Problems = append(f.Problems, fmt.Sprintf(format, args...)) }
	if span(f.Velocity) < deadDB {
		say("the velocity changes its level by %.1f dB only", span(f.Velocity))
	}
	if span(f.Dynamics) < deadDB {
		say("controller %d, which should carry its level, is dead: it changes it by %.1f dB", f.Subject.dynamics(), span(f.Dynamics))
	}
	if math.Abs(f.BothDB) > 2 {
		say("velocity and controller do not add up: together they miss by %.1f dB", f.BothDB)
	}
	if f.Subject.Profile.Amounts.Of(expr.KeyVibrato) > 0 && len(f.Depth) > 1 && f.Depth[1].Cents < 15 {
		say("controller 1 makes no vibrato that can be measured")
	}
	switch {
	case !f.Subject.sustains() || math.Abs(f.BendST-2) <= 0.3:
	case f.BendST == 0:
		say("how far a bend goes cannot be measured; it was told to go 2 semitones, and is taken to do so")
	default:
		say("a full bend goes %.2f semitones, and was told to go 2", f.BendST)
	}
	if f.TailDBs > 0 && f.TailDBs < 60 {
		say("it dies away slowly, by %.0f dB a second: there is reverberation, or a long release; it was taken out of what was measured", f.TailDBs)
	}
}
