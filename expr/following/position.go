package following

import (
	"math"
	"time"
)

// Position is where the music is.
type Position struct {
	Bar      int     // its number as it is printed; 0 for an upbeat, and where nothing is known
	BarIndex int     // index into Score.Bars; -1 if it is not known
	Beat     float64 // in the bar, from 1, in beats of its time signature; 0 if it is not known
	Sure     float64 // 0 to 1: probability that the music is there on the page, whichever time through a repeat
	Tempo    float64 // live by written tempo: 2 is twice as fast; 0 if it is not known
}

// stopped is the probability that the music has stopped since the last note, before
// any is missing. Ours, not published.
const stopped = 0.003

// early is how early, in seconds, a note may begin and be of the next bar.
const early = 0.020

// Position says where the music is at a time not before that of the last note, by what
// was heard up to then. Silence where the score has notes makes it less sure. It is the
// likeliest place however unlikely: look at Sure.
func (f *Follower) Position(at time.Duration) Position {
	p := Position{BarIndex: -1}
	best := f.best()
	if best < 0 {
		return p
	}
	h := f.hypotheses[best]
	trust := f.trust(&h)
	gate := h.advance(&f.ground, seconds(at))
	before := math.Exp(h.weight)
	h.settle(&f.ground, h.score-gate, h.weight-hopeless*4, false)
	now := math.Exp(h.weight)
	p.Tempo = h.ratio
	place := h.placed(&f.ground)
	p.BarIndex = f.barAt(place + early*h.ratio)
	beat := 0.0 // in the bar, in quarter notes
	if p.BarIndex >= 0 {
		beat = f.beatOf(place) - f.score.Bars[p.BarIndex].Beat
	}
	// The other times through a repeat are the same place on the page.
	same := 0.0
	for i := range f.hypotheses {
		if g := &f.hypotheses[i]; i != best && g.weight > f.hypotheses[best].weight-negligible && f.sameOnPage(g.placed(&f.ground)+(h.at-g.at)*g.ratio, early*g.ratio, p.BarIndex, beat) {
			same += math.Exp(g.weight)
		}
	}
	// What is missing speaks against this place and leaves the others as they are.
	missing := now / before
	p.Sure = trust * min((now+same*missing)/(now+same*missing+1-before-same+(before+same)*stopped), 1)
	if p.BarIndex < 0 {
		return p
	}
	bar := &f.score.Bars[p.BarIndex]
	p.Bar = bar.Number
	unit := bar.Unit
	if unit <= 0 {
		unit = 4
	}
	p.Beat = 1 + max(0, beat)*float64(unit)/4
	return p
}

// placed is where the hypothesis has the music on the page: from the note heard last on, which has a place
// there. A person may take that sooner or later than the tempo has it.
func (h *hypothesis) placed(g *ground) float64 {
	if !h.matched {
		return h.score
	}
	return g.notes[h.last].on + (h.at-h.corrected)*h.ratio
}

// negligible is how many nats below the likeliest a place adds nothing.
const negligible = 6.0
