package engine

import (
	"cmp"
	"math"
	"time"

	"swellbox/expr"
)

// vibratoFall is how fast a vibrato dies away when the next note has none yet, cents
// a second: the hand does not stop at once. Ours, not published.
const vibratoFall = 1500

// period is the time between two steps of a movement. A cycle of vibrato needs more points
// than a swell.
func (s *sampler) period() time.Duration {
	if s.profile.Sampler.BendVibrato {
		return s.cfg.ControlPeriod / 2
	}
	return s.cfg.ControlPeriod
}

// sendDepth brings the vibrato to a depth, cents, or as near as it falls in a time, and reports
// whether it has further to fall.
func (s *sampler) sendDepth(depth float64, elapsed time.Duration) (falling bool) {
	if !s.movesDepth(&s.way) {
		return false
	}
	s.depth = max(depth, s.depth-vibratoFall*elapsed.Seconds())
	c := &s.profile.Sampler.VibratoDepth
	total := s.depth
	if v := s.in.Said(c.Number); v != expr.Unknown && s.profile.Sampler.Incoming.Vibrato == expr.Multiply {
		total += c.Response.At(float64(v))
	}
	s.sendControl(c, &s.sent.vibrato, steps(c, total, s.sent.vibrato))
	return s.depth > depth
}

// sendManner sends rate and delay, where the player has controllers for them.
func (s *sampler) sendManner(g *expr.Gesture) {
	if c := &s.profile.Sampler.VibratoRate; c.Has() {
		s.sendControl(c, &s.sent.rate, steps(c, g.VibratoHz, s.sent.rate))
	}
	if c := &s.profile.Sampler.VibratoDelay; c.Has() {
		s.sendControl(c, &s.sent.delay, steps(c, float64(g.VibratoOnset.Milliseconds()), s.sent.delay))
	}
}

// giveDepthBack leaves the depth of the vibrato as it came in.
func (s *sampler) giveDepthBack() {
	if s.sent.vibrato != expr.Unknown {
		c := &s.profile.Sampler.VibratoDepth
		s.sendControl(c, &s.sent.vibrato, s.in.steps(c))
	}
}

// straighten brings a part that has stopped sounding back to the pitch that came in,
// by halves, so that a tail does not ring off pitch. It reports whether there is
// further to go.
func (s *sampler) straighten() (moving bool) {
	if !s.profile.Sampler.BendVibrato || s.sent.bend == expr.Unknown {
		return false
	}
	home := s.bendFor(0)
	s.sendBend(home + (s.sent.bend-home)/2)
	return s.sent.bend != home
}

// usualRange is the pitch-bend sensitivity until it is set, semitones each way (MIDI 1.0).
const usualRange = 2.0

// bendRange is the range in which the shaped side's bends are read, semitones
// each way: what the notation program set, else the profile's, else 2 (MIDI 1.0).
func (s *sampler) bendRange() float64 {
	return cmp.Or(s.in.bendRange(), s.profile.Sampler.BendRange, usualRange)
}

// bendFor is the bend that adds cents to the bend that came in.
func (s *sampler) bendFor(cents float64) int {
	written := cmp.Or(s.in.bendRange(), usualRange)
	cents += float64(s.in.Bend()-expr.BendCentre) / expr.BendCentre * written * 100
	return int(min(max(math.Round(expr.BendCentre+cents/100/s.bendRange()*expr.BendCentre), 0), expr.BendMax))
}

// sendBend sends a bend on the shaped side if it has changed, and before the
// first one the range in which it is meant, unless the notation program has set that.
func (s *sampler) sendBend(bend int) {
	if bend == s.sent.bend {
		return
	}
	if !s.sent.range_ && s.in.bendRange() == 0 {
		s.sent.range_ = true
		semitones := math.Floor(s.bendRange())
		// What the notation program had selected stays selected.
		s.in.SayBendRange(int(semitones), int(math.Round((s.bendRange()-semitones)*100)), s.send)
	}
	s.sent.bend = bend
	s.send(0xE0, byte(bend&0x7F), byte(bend>>7))
}
