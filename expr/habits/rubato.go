package habits

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/timing"
)

// Rubato has the ensemble breathe with its phrases: each begins slowly, is fastest in its
// middle and slows to its end, and what it borrows it pays back by then; the last one ends
// in a ritard. Where the score is not known, only the ends of phrases are longer, paid
// back within a second. It needs lookahead, and keeps within half of it.
//
// Sources: Todd 1985 (phrases), Friberg and Sundberg 1999 (the ritard), Friberg 1991
// (phrase ends, from memory); see package timing.
type Rubato struct{}

// Name is the rule's name in counts and reports.
func (Rubato) Name() string { return "rubato" }

// Shape reports whether the ensemble is off the beat that came in with the note.
func (Rubato) Shape(n *expr.Note, _ *expr.Gesture) bool { return n.Warp != 0 }

// Warp is the rubato of a course of phrases; nil: of none.
func (Rubato) Warp(c *timing.Course, amount float64, bound, most time.Duration) *timing.Warp {
	if c == nil || amount == 0 || bound == 0 {
		return &timing.Warp{}
	}
	warp, err := timing.Arches(c.Phrases, amount, bound)
	if err != nil {
		return &timing.Warp{} // phrases are not nested, so there is none
	}
	if c.Slows {
		return warp // it ends in a ritard of its own
	}
	return warp.WithRitard(timing.Ritard{From: max(c.Last-timing.LastRitard, 0), To: c.Last, Most: most}, amount)
}
