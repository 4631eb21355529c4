package audition

import (
	"math"
	"slices"
)

// strike is a note whose partials decay each at its own pace.
type strike struct {
	env     envelope
	level   float64
	gain    float64 // of the channel, at the end of the last stretch
	bend    float64 // semitones, there
	highest float64
	parts   []rotor
	heard   float64 // amplitude under which a partial is let go
}

// rotor is a decaying sine: a point that turns and shrinks.
type rotor struct {
	x, y     float64 // y is heard
	cos, sin float64 // the turn of one frame, with its decay
	partial
}

func newStrike(attack, highest float64, ps []partial, c *controls, level float64) *strike {
	s := &strike{env: newEnvelope(attack), level: level, gain: c.gain(), bend: min(c.bend.now, highest), highest: highest}
	s.parts = make([]rotor, len(ps))
	for i, p := range ps {
		s.parts[i] = rotor{x: p.amp, partial: p}
		s.heard = max(s.heard, p.amp*gone)
	}
	s.tune()
	return s
}

// tune sets each partial's turn by the bend.
func (s *strike) tune() {
	up := math.Exp2(s.bend / 12)
	for i := range s.parts {
		p := &s.parts[i]
		keep := decay(p.t60, 1)
		p.sin, p.cos = math.Sincos(2 * math.Pi * p.hz * up / SampleRate)
		p.sin *= keep
		p.cos *= keep
	}
}

func (s *strike) add(out []float32, c *controls) bool {
	n := len(out)
	if bend := min(c.bend.now, s.highest); math.Abs(bend-s.bend) > 1e-4 {
		s.bend = bend
		s.tune()
	}
	var sum [step]float64
	for i := 0; i < len(s.parts); i += 2 {
		p, q := &s.parts[i], &rotor{} // an odd one out is turned with a silent one
		if i+1 < len(s.parts) {
			q = &s.parts[i+1]
		}
		turn(sum[:n], p, q)
	}
	s.parts = slices.DeleteFunc(s.parts, func(p rotor) bool { return p.x*p.x+p.y*p.y < s.heard*s.heard })
	from, to := s.env.advance(n)
	gain := c.gain()
	a, b := from*s.gain*s.level, to*gain*s.level
	s.gain = gain
	for j := range out {
		out[j] += float32(sum[j] * (a + (b-a)*float64(j)/float64(n)))
	}
	return len(s.parts) > 0 && !s.env.done()
}

// turn adds two partials to sum and leaves them len(sum) frames on. Two at a
// time are half again as fast as one by one.
func turn(sum []float64, p, q *rotor) {
	x, y, cos, sin := p.x, p.y, p.cos, p.sin
	u, v, cos2, sin2 := q.x, q.y, q.cos, q.sin
	for j := range sum {
		sum[j] += y + v
		x, y = x*cos-y*sin, x*sin+y*cos
		u, v = u*cos2-v*sin2, u*sin2+v*cos2
	}
	p.x, p.y = x, y
	q.x, q.y = u, v
}

func (s *strike) release(ms float64) { s.env.end(ms) }
