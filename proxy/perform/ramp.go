package perform

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/channels"
)

// A switch moves levels by at most rampDBPerMS, in steps of RampStep.
const (
	rampDBPerMS = 1.0
	RampStep    = 2 * time.Millisecond // between the steps of a ramp
)

// next is the time of the next step of a ramp.
func (d *desk) next() (time.Duration, bool) { return d.step, d.ramps > 0 }

// advance takes the ramps one step on.
func (d *desk) advance() {
	now := d.step
	d.step += RampStep
	for i := range d.strips {
		if d.strips[i].ramp && !d.rampOn(i, now) {
			d.strips[i].ramp = false
			d.ramps--
		}
	}
}

// rampOn moves the levels of a channel one step towards the chosen side's, and
// reports whether there is further to go.
func (d *desk) rampOn(i int, now time.Duration) (further bool) {
	s := &d.strips[i]
	want := &s.said[sideIndex(s.side)]
	for _, n := range s.levels() {
		if n == expr.Unknown || s.out.Said(n) == expr.Unknown && want.Said(n) == expr.Unknown {
			continue
		}
		from, target := s.told(&s.out, n), s.told(want, n)
		if from == target {
			continue
		}
		v := towards(from, target)
		d.say(i, now, 0xB0, byte(n), byte(v))
		if v != target {
			further = true
		} else if n < 32 && want.Said(n+32) != expr.Unknown {
			d.say(i, now, 0xB0, byte(n+32), byte(want.Said(n+32)))
		}
	}
	return further
}

// told is a controller's value on a side. A level controller that nobody has moved stands at full:
// a side that never says it is not silent.
func (s *strip) told(side *channels.State, number int) int {
	if number == s.level && side.Said(number) == expr.Unknown {
		return 127
	}
	return side.Told(number)
}

// levels lists the controllers that are ramped, each once.
func (s *strip) levels() [3]int {
	if s.level == ccVolume || s.level == ccExpression {
		return [3]int{ccVolume, ccExpression, expr.Unknown}
	}
	return [3]int{ccVolume, ccExpression, s.level}
}

// towards is the value one ramp step nearer to target: at least one value, at most
// what the step's time allows in dB.
func towards(from, target int) int {
	const step = rampDBPerMS * float64(RampStep/time.Millisecond)
	if from < target {
		return min(target, max(from+1, fromDecibels(decibels(from)+step)))
	}
	return max(target, min(from-1, fromDecibels(decibels(from)-step)))
}
