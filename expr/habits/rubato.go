package habits

import (
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/timing"
)

// Rubato has the ensemble take its time: into the ends of sections, phrases and the piece, on long
// notes and into rests, on leaps and spread chords, and as words and fermatas ask. In a file,
// where nobody else keeps the beat, it does so by as much as players do. Live it needs lookahead,
// keeps within half of it, pays back what it borrows, and ends in a ritard. Where the score is
// not known, only the ends of phrases are longer, paid back within a second.
//
// Sources: package pace, which is fitted to players. Where a score has no beats: Todd 1985
// (phrases); Friberg and Sundberg 1999 (the ritard live), Friberg 1991 (phrase ends without a
// score, from memory); see package timing.
type Rubato struct{}

var aboutRubato = expr.About{
	Name: "rubato", Key: "rubato",
	Sentence: "The whole ensemble lingers at the ends of phrases, and slows to the end.",
	Changed:  "the rubato",
	Listen:   "the whole ensemble lingers at the ends of phrases, and slows to the end: bars 27 to 30",
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "ends of phrases that it shows",
		Score:     "whole phrases, and the end",
	},
	Source: "Todd 1985; Friberg and Sundberg 1999; Friberg 1991, from memory",
	All:    true,
}

// About says what the habit is.
func (Rubato) About() *expr.About { return &aboutRubato }

// Shape reports whether the ensemble is off the beat that came in with the note.
func (Rubato) Shape(n *expr.Note, _ *expr.Gesture) bool { return n.Warp != 0 }

// Warp is the rubato of a course of phrases; nil: of none.
func (Rubato) Warp(c *timing.Course, amount float64, bound, most time.Duration) *timing.Warp {
	if c == nil || amount == 0 || bound == 0 {
		return &timing.Warp{}
	}
	if len(c.Beats) > 0 {
		return flow(c, amount, bound, most)
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

// flow is the rubato of a piece whose beats are known.
func flow(c *timing.Course, amount float64, bound, most time.Duration) *timing.Warp {
	beats := c.Beats
	if c.Slows { // it ends in a ritard of its own
		beats = slices.Clone(beats)
		for i := range beats {
			b := &beats[i]
			if b.At >= c.Last-timing.LastRitard {
				b.Inner = min(b.Inner, 0)
			}
			b.Log = b.Inner
		}
	}
	warp := timing.Flow(beats, c.Last, amount, bound)
	if c.Slows || bound >= timing.Unheld {
		return warp
	}
	return warp.WithRitard(timing.Ritard{From: max(c.Last-timing.LastRitard, 0), To: c.Last, Most: most}, amount)
}
