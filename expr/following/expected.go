package following

import "math"

// hintEvents is how many events a hint is believed.
const hintEvents = 8

// How much likelier the music goes on in one place than in another, in nats. Ours, not published.
const (
	barStartGain = 1.0  // nats: playing begins at bar lines
	nearGain     = 0.8  // nats, at the place last known; half of it nearDistance away
	nearDistance = 20.0 // seconds of the score
	hintGain     = 8.0  // nats, where it is told to go on
	hintBefore   = 0.3  // seconds of the score that the place may be before the hint
	hintAfter    = 4.0  // and after it: music may begin with a rest
)

// expected is where music goes on that is not where it was.
type expected struct {
	ratio    float64 // of the last sure hypothesis
	here     float64 // score time where it was last known to be
	hint     float64 // score time where it is told to go on; NaN if it is not told
	hintLeft int     // events for which the hint holds
}

// expect is how much likelier than elsewhere it is that playing begins or goes on at
// a time of the score, in nats.
func (x *expected) expect(on float64) float64 {
	gain := nearGain / (1 + math.Abs(on-x.here)/nearDistance)
	if x.hintLeft > 0 && on > x.hint-hintBefore && on < x.hint+hintAfter {
		gain += hintGain
	}
	return gain
}
