package following

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"time"

	"swellbox/expr"
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
	gate := h.advance(f, seconds(at))
	before := math.Exp(h.weight)
	h.settle(f, h.score-gate, h.weight-hopeless*4, false)
	now := math.Exp(h.weight)
	p.Tempo = h.ratio
	p.BarIndex = f.barAt(h.score + early*h.ratio)
	beat := 0.0 // in the bar, in quarter notes
	if p.BarIndex >= 0 {
		beat = f.beatOf(h.score) - f.score.Bars[p.BarIndex].Beat
	}
	// The other times through a repeat are the same place on the page.
	same := 0.0
	for i := range f.hypotheses {
		if g := &f.hypotheses[i]; i != best && g.weight > f.hypotheses[best].weight-negligible && f.samePage(g, h.at, p.BarIndex, beat) {
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

const (
	negligible = 6.0  // nats below the likeliest, under which a place adds nothing
	sameBeat   = 0.25 // quarter notes in a bar by which two places may differ that are one on the page
)

// samePage reports whether a hypothesis is at a place on the page at a live time: in a bar of the
// same number, at the same beat, before the same notes.
func (f *Follower) samePage(g *hypothesis, at float64, bar int, beat float64) bool {
	if bar < 0 {
		return false
	}
	ahead := (at - g.at) * g.ratio
	other := f.barAt(g.score + ahead + early*g.ratio)
	if other < 0 {
		return false
	}
	a, b := &f.score.Bars[bar], &f.score.Bars[other]
	if a.Number <= 0 || a.Number != b.Number || math.Abs(f.beatOf(g.score+ahead)-b.Beat-beat) > sameBeat {
		return false
	}
	return f.index.sameNotes(f.index.from(seconds(b.At)-simultaneous), f.index.from(seconds(a.At)-simultaneous))
}

// barAt is the bar that sounds at a time of the score, -1 if there is none.
func (f *Follower) barAt(score float64) int {
	bars := f.score.Bars
	i, found := slices.BinarySearchFunc(bars, score, func(b expr.Bar, s float64) int { return cmp.Compare(seconds(b.At), s) })
	if found {
		return i
	}
	return i - 1
}

// knot is a moment of the score.
type knot struct{ on, beat float64 }

// around gives the last bar line or note that is not after a place, and the first that
// is after it. Without the one there is the start, without the other as much again.
func (f *Follower) around(after func(knot) bool) (lo, hi knot) {
	hi = knot{math.Inf(1), math.Inf(1)}
	take := func(n int, knot func(int) knot) {
		i := sort.Search(n, func(i int) bool { return after(knot(i)) })
		if i > 0 {
			if k := knot(i - 1); k.on >= lo.on {
				lo = k
			}
		}
		if i < n {
			if k := knot(i); k.on < hi.on {
				hi = k
			}
		}
	}
	take(len(f.score.Bars), func(i int) knot {
		b := &f.score.Bars[i]
		return knot{seconds(b.At), b.Beat}
	})
	take(len(f.index.notes), func(i int) knot {
		n := &f.index.notes[i]
		return knot{n.on, f.score.Notes[n.note].Beat}
	})
	if math.IsInf(hi.on, 1) {
		hi = knot{2*lo.on + 1, 2*lo.beat + 2}
	}
	return lo, hi
}

// beatOf is the quarter note at a time of the score, in seconds.
func (f *Follower) beatOf(score float64) float64 {
	lo, hi := f.around(func(k knot) bool { return k.on > score })
	return between(score, lo.on, hi.on, lo.beat, hi.beat)
}

// timeOf is the reverse.
func (f *Follower) timeOf(beat float64) float64 {
	lo, hi := f.around(func(k knot) bool { return k.beat > beat })
	return between(beat, lo.beat, hi.beat, lo.on, hi.on)
}

func between(x, x0, x1, y0, y1 float64) float64 {
	if !(x1 > x0) {
		return y0
	}
	return y0 + (x-x0)/(x1-x0)*(y1-y0)
}
