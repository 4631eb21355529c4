package engine

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
)

// later is what the shaped performance does at a time of its own: a heap on time,
// then on the order in which it was put in.
type later []deferred

// deferred is one thing that waits.
type deferred struct {
	at    time.Duration
	order uint64
	tone  int64
	part  int32
	what  what
	ev    expr.Event
}

// what a deferred thing is.
type what uint8

const (
	plays  what = iota // an input event, for the shaped side alone
	ends               // a note's end
	treads             // the foot on the pedal
)

func (d *deferred) before(o *deferred) bool {
	return d.at < o.at || d.at == o.at && d.order < o.order
}

func (l *later) add(d *deferred) {
	h := append(*l, *d)
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 2
		if !d.before(&h[up]) {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = *d
	*l = h
}

// drop removes the earliest.
func (l *later) drop() {
	h := *l
	last := h[len(h)-1]
	h[len(h)-1].ev.Data = nil
	h = h[:len(h)-1]
	*l = h
	if len(h) == 0 {
		return
	}
	i := 0
	for {
		down := 2*i + 1
		if down >= len(h) {
			break
		}
		if down+1 < len(h) && h[down+1].before(&h[down]) {
			down++
		}
		if !h[down].before(&last) {
			break
		}
		h[i] = h[down]
		i = down
	}
	h[i] = last
}

// remove takes out what waits to be played on one port, in the order of time.
func (l *later) remove(port uint16) (removed []deferred) {
	old := *l
	*l = old[:0]
	for i := range old {
		if d := old[i]; d.what == plays && d.ev.Port == port {
			removed = append(removed, d)
		} else {
			l.add(&d) // never longer than what has been read
		}
	}
	clear(old[len(*l):])
	slices.SortFunc(removed, func(a, b deferred) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.order, b.order)) })
	return removed
}
