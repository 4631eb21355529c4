package timing

import (
	"math"
	"slices"
	"time"
)

// Warp is the ensemble's rubato: the shift of all that is written for a moment, as a
// function of that moment. It is made by [Arches] and [Warp.WithRitard], and does not
// change, so any number of goroutines may read it. The zero Warp shifts nothing.
//
// Written time never runs backward under it: two moments come closer by less than half,
// to the rounding of each to a nanosecond.
type Warp struct {
	arches []arch
	cuts   []cut
	most   time.Duration // of the arches' sum, to either side
	ritard slowing
	flow   *flow // in place of arches; nil: none
}

// arch is a phrase whose tempo rises to its middle and falls to its end.
type arch struct {
	start, length time.Duration
	curve         float64 // m of [Arches]
	outer         int     // arch that this one is a part of, or none
}

// cut is a written time from which on an arch is the innermost, or none.
type cut struct {
	from time.Duration
	arch int
}

// At is the shift of a written time, later if positive.
func (w *Warp) At(t time.Duration) time.Duration {
	sum := 0.0
	if w.flow != nil {
		sum = w.flow.shift(t)
	}
	for i := w.innermost(t); i != none; i = w.arches[i].outer {
		sum += w.arches[i].shift(t)
	}
	return time.Duration(math.Round(sum)) + w.ritard.at(t)
}

// Tempo is the tempo at a written time, re the written one; where it jumps, that after.
func (w *Warp) Tempo(t time.Duration) float64 {
	slope := w.ritard.slope(t)
	if w.flow != nil {
		slope += w.flow.speed(t)
	}
	for i := w.innermost(t); i != none; i = w.arches[i].outer {
		slope += w.arches[i].slope(t)
	}
	return 1 / (1 + slope)
}

// Inverse is the written time that is played at a time: the first that is not earlier.
func (w *Warp) Inverse(played time.Duration) time.Duration {
	early, late := w.Reach()
	return inverse(w, played, played-late, played+early)
}

// Reach is how far shifts may go at most: early before the written time, which whoever
// plays live must have in reserve, and late after it. Neither is negative.
func (w *Warp) Reach() (early, late time.Duration) {
	return w.most, w.most + w.ritard.delay()
}

// WithRitard is w with a ritard of quantity k, from 0 for none to 2. It takes the place of
// the one that w has. Its slowing comes on top of that of the last phrase.
func (w *Warp) WithRitard(r Ritard, k float64) *Warp {
	slower := *w
	slower.ritard = r.slow(quantity(k))
	return &slower
}

// innermost is the innermost arch at t, or none.
func (w *Warp) innermost(t time.Duration) int {
	i, found := slices.BinarySearchFunc(w.cuts, t, func(c cut, t time.Duration) int {
		switch {
		case c.from < t:
			return -1
		case c.from > t:
			return 1
		}
		return 0
	})
	if found {
		return w.cuts[i].arch
	}
	if i == 0 {
		return none
	}
	return w.cuts[i-1].arch
}

// place is where t is in the arch, from -½ to ½.
func (a *arch) place(t time.Duration) float64 {
	return float64(t-a.start)/float64(a.length) - 0.5
}

// shift is the arch's shift in ns. It is exactly 0 at both ends.
func (a *arch) shift(t time.Duration) float64 {
	u := a.place(t)
	return a.curve * float64(a.length) * u * (4*u*u - 1) / 3
}

// slope is how much later it gets at t, a unit of time.
func (a *arch) slope(t time.Duration) float64 {
	u := a.place(t)
	return a.curve * (4*u*u - 1.0/3)
}
