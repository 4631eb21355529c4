package voices

import (
	"time"

	"swellbox/expr/thresholds"
)

// Together is how far apart notes may start and still be one moment.
const Together = thresholds.Chord

// clock counts moments and measures time in paces. It never runs backwards.
type clock struct {
	moment uint64        // number of the latest, from 1; 0 before the first
	start  time.Duration // of the latest
	pace   float64       // running mean from one moment to the next, ns; 0 before the second
	paces  float64       // from the first moment to the latest
	steps  int           // from moment to moment
}

const (
	paceMemory   = 16 // moments
	longestPace  = 8  // in paces: what is longer is a pause, not the pace
	longestPause = 64 // paces that a pause of all counts for at most
)

// same reports whether a note at a time is of the latest moment.
func (c *clock) same(at time.Duration) bool { return c.moment > 0 && at-c.start <= Together }

// begin begins a moment and reports whether it is the first.
func (c *clock) begin(at time.Duration) bool {
	c.moment++
	if c.moment == 1 {
		c.start = at
		return true
	}
	if at <= c.start { // a moment that was closed early
		return false
	}
	step := float64(at - c.start)
	c.start = at
	c.steps++
	if c.steps == 1 {
		c.pace = step
	}
	c.pace += (min(step, longestPace*c.pace) - c.pace) * shares[min(c.steps, paceMemory)]
	c.paces += min(step/c.pace, longestPause)
	return false
}

// at is a time in paces.
func (c *clock) at(t time.Duration) float64 {
	if c.pace == 0 || t <= c.start {
		return c.paces
	}
	return c.paces + min(float64(t-c.start)/c.pace, longestPause)
}

// shares are the reciprocals of small numbers: divisions are most of a note's cost.
var shares = func() (s [paceMemory + 1]float64) {
	for n := 1; n < len(s); n++ {
		s[n] = 1 / float64(n)
	}
	return s
}()
