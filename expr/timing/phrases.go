package timing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Phrase is a stretch of music between two boundaries, in written time: a phrase, or a
// part of one.
type Phrase struct {
	Start, End time.Duration
	Depth      float64 // of the boundary at its end, 0..1; a deeper one is slowed down for more
}

// MaxNesting is how many phrases may stand within each other.
const MaxNesting = 8

const (
	// fullCurve is the curve m of a phrase of depth 1 at quantity 1: ours, as no figure of
	// Todd 1985 could be read. A beat takes 1.2 of the mean at the boundaries and 0.9 of it in
	// the middle.
	fullCurve = 0.3
	// mostHaste is the most by which all arches together may shorten time: ours.
	mostHaste = 0.45
)

// archPeak is the greatest value of u·(1-4u²)/3, at u = 1/√12.
var archPeak = 1 / (9 * math.Sqrt(3))

// Arches makes the warp of phrases, of quantity k from 0 for none to 2: each begins slowly,
// is fastest in its middle and slows down to its end.
//
// The duration of a beat at a place τ = 0..1 in a phrase is D(τ) = A + 4m(τ-½)² (Todd
// 1985, SEEN-2), where m grows with the depth of the boundary. Here A = 1 - m/3, so that
// the mean of D is 1: what a phrase borrows is paid back by its end. With u = τ-½ and a
// phrase of length P the shift is the integral of D-1,
//
//	P·m·u·(4u²-1)/3
//
// which is 0 at both ends and in the middle, at most P·m/(9√3) to either side, and whose
// slope is -m/3 at the least.
//
// Parts of a phrase add to it. A phrase and all its parts are made smaller by one factor
// where their sum might pass ±bound or bring two moments closer by half, so there are no
// corners. A negative bound is 0.
//
// Phrases may come in any order. It is an error if one ends before it begins, if two
// overlap of which neither is a part of the other, or if more than [MaxNesting] stand
// within each other.
func Arches(phrases []Phrase, k float64, bound time.Duration) (*Warp, error) {
	sorted := slices.Clone(phrases)
	slices.SortFunc(sorted, func(a, b Phrase) int { // outer before inner
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(b.End, a.End), cmp.Compare(b.Depth, a.Depth))
	})
	w := &Warp{}
	if err := w.nest(sorted, quantity(k)); err != nil {
		return nil, err
	}
	w.restrain(max(bound, 0))
	return w, nil
}

// nest makes the arches of phrases, which are sorted outer before inner, and the cuts
// between them.
func (w *Warp) nest(sorted []Phrase, k float64) error {
	w.arches = make([]arch, 0, len(sorted))
	w.cuts = make([]cut, 0, 2*len(sorted))
	var open [MaxNesting]int
	depth := 0
	closeUntil := func(t time.Duration) {
		for depth > 0 {
			a := w.arches[open[depth-1]]
			if a.start+a.length > t {
				return
			}
			depth--
			w.cut(a.start+a.length, a.outer)
		}
	}
	for _, p := range sorted {
		if p.End <= p.Start {
			return fmt.Errorf("phrase from %v to %v does not last: give it an end after its start", p.Start, p.End)
		}
		closeUntil(p.Start)
		outer := none
		if depth > 0 {
			outer = open[depth-1]
			if a := w.arches[outer]; p.End > a.start+a.length {
				return fmt.Errorf("phrases from %v to %v and from %v to %v overlap: end the first before the second, or put one within the other",
					a.start, a.start+a.length, p.Start, p.End)
			}
		}
		if depth == MaxNesting {
			return fmt.Errorf("phrase from %v to %v is within %d others: leave out inner phrases", p.Start, p.End, depth)
		}
		open[depth] = len(w.arches)
		depth++
		w.arches = append(w.arches, arch{
			start: p.Start, length: p.End - p.Start,
			curve: k * fullCurve * held(p.Depth), outer: outer,
		})
		w.cut(p.Start, len(w.arches)-1)
	}
	closeUntil(math.MaxInt64)
	return nil
}

// cut makes an arch the innermost from a time on, in place of one that would be so for no
// time.
func (w *Warp) cut(from time.Duration, arch int) {
	if last := len(w.cuts) - 1; last >= 0 && w.cuts[last].from == from {
		w.cuts[last].arch = arch
		return
	}
	w.cuts = append(w.cuts, cut{from, arch})
}

// restrain makes phrases smaller whose arches would go too far.
func (w *Warp) restrain(bound time.Duration) {
	// The most that an arch and those within it can do, first of those within it.
	type reach struct{ shift, haste float64 }
	reaches := make([]reach, len(w.arches))
	for i := len(w.arches) - 1; i >= 0; i-- { // inner before outer
		a, r := &w.arches[i], &reaches[i]
		r.shift += a.curve * float64(a.length) * archPeak
		r.haste += a.curve / 3
		if a.outer != none {
			o := &reaches[a.outer]
			o.shift, o.haste = max(o.shift, r.shift), max(o.haste, r.haste)
		}
	}
	factors := make([]float64, len(w.arches))
	for i := range w.arches { // outer before inner
		a, r := &w.arches[i], reaches[i]
		if a.outer != none {
			factors[i] = factors[a.outer]
		} else {
			factors[i] = 1
			if r.shift > float64(bound) {
				factors[i] = float64(bound) / r.shift
			}
			if r.haste > mostHaste {
				factors[i] = min(factors[i], mostHaste/r.haste)
			}
			w.most = max(w.most, time.Duration(math.Ceil(factors[i]*r.shift)))
		}
		a.curve *= factors[i]
	}
	w.most = min(w.most, bound)
}
