package engine

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
)

// schedule is all that waits for its time: what came in to be played, what the shaped
// performance does at a time of its own, the parts that move, and what is due and not yet pulled.
type schedule struct {
	now     time.Duration
	ahead   ahead
	delay   delay
	later   heap[deferred] // in the order in which it was put in, at one time
	wakes   heap[int32]    // when each moving part is next looked at, by its number; it stands here once at most
	queue   queue
	order   uint64 // of the latest that was put off
	awaited int    // events that the shaped side has yet to play
}

// deferred is one thing that waits.
type deferred struct {
	tone int64
	part int32
	what what
	ev   expr.Event
}

// what a deferred thing is.
type what uint8

const (
	plays  what = iota // an input event, for the shaped side alone
	ends               // a note's end
	pedals             // the foot on the pedal
)

// put defers something to a time.
func (s *schedule) put(at time.Duration, d deferred) {
	s.order++
	s.later.add(entry[deferred]{at, s.order, d})
	if d.what == plays {
		s.awaited++
	}
}

// unplayed takes out what waits to be played on one port, in the order of time.
func (s *schedule) unplayed(port uint16) []entry[deferred] {
	taken := s.later.take(func(d *deferred) bool { return d.what == plays && d.ev.Port == port })
	slices.SortFunc(taken, func(a, b entry[deferred]) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.order, b.order)) })
	return taken
}
