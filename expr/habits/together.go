package habits

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/listening"
)

// Together has each player stand in time in a way of its own: a little before or
// after the beat, wandering slowly, and drawn to the others. Where a hammer strikes, louder notes
// come earlier by what its travel takes less. It needs lookahead, and does nothing
// without.
//
// Sources: Hennig et al. 2011 (1/f deviations), Wing et al. 2014 (phase correction),
// Goebl 2001 (the hammer); see package timing.
type Together struct{}

// Name is the rule's name in counts and reports.
func (Together) Name() string { return "timing" }

// Shape reports whether the note is played at a time of its own, which was decided
// before it sounds.
func (Together) Shape(n *expr.Note, _ *expr.Gesture) bool { return n.Shift != n.Warp }

// Spread is as the profile has it.
func (Together) Spread(p *expr.Profile) (sd time.Duration, on bool) {
	h := &p.Habits.Timing
	return time.Duration(h.K * float64(h.SD)), h.K != 0
}

// Lead is what a hammer's travel takes less. What makes the melody louder thereby makes it
// lead.
//
// Source: Goebl 2001, where the lead is mostly an effect of the velocity; see package
// listening.
func (Together) Lead(p *expr.Profile, velocity, struck uint8) time.Duration {
	if !p.Habits.Timing.Hammer {
		return 0
	}
	return listening.Lead(velocity, struck)
}
