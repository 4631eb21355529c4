package following

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"swellbox/expr"
)

// barAt is the bar that sounds at a time of the score, -1 if there is none.
func (x *index) barAt(score float64) int {
	bars := x.score.Bars
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
func (x *index) around(after func(knot) bool) (lo, hi knot) {
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
	take(len(x.score.Bars), func(i int) knot {
		b := &x.score.Bars[i]
		return knot{seconds(b.At), b.Beat}
	})
	take(len(x.notes), func(i int) knot {
		n := &x.notes[i]
		return knot{n.on, x.score.Notes[n.note].Beat}
	})
	if math.IsInf(hi.on, 1) {
		hi = knot{2*lo.on + 1, 2*lo.beat + 2}
	}
	return lo, hi
}

// beatOf is the quarter note at a time of the score, in seconds.
func (x *index) beatOf(score float64) float64 {
	lo, hi := x.around(func(k knot) bool { return k.on > score })
	return between(score, lo.on, hi.on, lo.beat, hi.beat)
}

// timeOf is the reverse.
func (x *index) timeOf(beat float64) float64 {
	lo, hi := x.around(func(k knot) bool { return k.beat > beat })
	return between(beat, lo.beat, hi.beat, lo.on, hi.on)
}

func between(x, x0, x1, y0, y1 float64) float64 {
	if !(x1 > x0) {
		return y0
	}
	return y0 + (x-x0)/(x1-x0)*(y1-y0)
}

// startsBar reports whether a bar begins within so much of a time of the score.
func (x *index) startsBar(on, within float64) bool {
	i := x.barAt(on + within)
	return i >= 0 && on-seconds(x.score.Bars[i].At) < within
}

// sameBeat is by how many quarter notes in a bar two places may differ that are one on the page.
const sameBeat = 0.25

// nearBeat is the same in one bar, where a hand that is not exact leaves several readings. Ours.
const nearBeat = 1.0

// sameOnPage reports whether a time of the score is at a place on the page: in a bar of the
// same number, at the same beat, before the same notes.
func (x *index) sameOnPage(score, early float64, bar int, beat float64) bool {
	if bar < 0 {
		return false
	}
	other := x.barAt(score + early)
	if other < 0 {
		return false
	}
	a, b := &x.score.Bars[bar], &x.score.Bars[other]
	if other == bar {
		return math.Abs(x.beatOf(score)-b.Beat-beat) <= nearBeat
	}
	if a.Number <= 0 || a.Number != b.Number || math.Abs(x.beatOf(score)-b.Beat-beat) > sameBeat {
		return false
	}
	return x.sameNotes(x.from(seconds(b.At)-simultaneous), x.from(seconds(a.At)-simultaneous))
}
