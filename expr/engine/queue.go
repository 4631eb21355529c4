package engine

import (
	"time"

	"swellbox/expr"
)

// queue holds the events that are due but not yet pulled, in the order of their
// times and, at one time, in the order in which they were put in. It is a ring
// that doubles when full.
type queue struct {
	ring []expr.Event // length a power of two
	head int
	n    int
}

func (q *queue) put(e *expr.Event) {
	if q.n == len(q.ring) {
		q.grow()
	}
	mask := len(q.ring) - 1
	i := q.head + q.n
	q.n++
	// Events arrive in order of time but for those that a habit has put off;
	// stepping back over later ones keeps equal times in order of arrival.
	for i > q.head && q.ring[(i-1)&mask].At > e.At {
		q.ring[i&mask] = q.ring[(i-1)&mask]
		i--
	}
	q.ring[i&mask] = *e
}

func (q *queue) grow() {
	ring := make([]expr.Event, max(64, 2*len(q.ring)))
	for i := range q.n {
		ring[i] = q.ring[(q.head+i)&(len(q.ring)-1)]
	}
	q.ring, q.head = ring, 0
}

func (q *queue) first() *expr.Event { return &q.ring[q.head&(len(q.ring)-1)] }

// drop removes the first event, and its hold on borrowed memory.
func (q *queue) drop() {
	q.first().Data = nil
	q.head = (q.head + 1) & (len(q.ring) - 1)
	q.n--
}

// agenda is when each moving part is next to be looked at: a binary heap on
// time, then on the part's number, so that no order depends on the heap. A part stands
// in it once at most.
type agenda []appointment

type appointment struct {
	at   time.Duration
	part int32
}

func (a appointment) before(b appointment) bool {
	return a.at < b.at || a.at == b.at && a.part < b.part
}

func (g *agenda) add(x appointment) {
	h := append(*g, x)
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 2
		if !x.before(h[up]) {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = x
	*g = h
}

// drop removes the earliest appointment.
func (g *agenda) drop() {
	h := *g
	last := h[len(h)-1]
	*g = h[:len(h)-1]
	if len(*g) > 0 {
		g.sink(last)
	}
}

// putOff moves the earliest appointment to a later time.
func (g *agenda) putOff(at time.Duration) { g.sink(appointment{at, (*g)[0].part}) }

// sink puts x in the place of the earliest appointment, and then where it belongs.
func (g *agenda) sink(x appointment) {
	h, i := *g, 0
	for {
		down := 2*i + 1
		if down >= len(h) {
			break
		}
		if down+1 < len(h) && h[down+1].before(h[down]) {
			down++
		}
		if !h[down].before(x) {
			break
		}
		h[i] = h[down]
		i = down
	}
	h[i] = x
}
