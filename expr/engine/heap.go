package engine

import "time"

// entry is something that waits for its time. Of those of one time the one of the lower order
// comes first, so that nothing depends on the heap.
type entry[T any] struct {
	at    time.Duration
	order uint64
	it    T
}

func (e *entry[T]) before(o *entry[T]) bool { return e.at < o.at || e.at == o.at && e.order < o.order }

// heap holds what waits, the earliest first: a binary heap, which allocates only while it grows.
type heap[T any] []entry[T]

func (h *heap[T]) add(x entry[T]) {
	s := append(*h, x)
	i := len(s) - 1
	for i > 0 {
		up := (i - 1) / 2
		if !x.before(&s[up]) {
			break
		}
		s[i] = s[up]
		i = up
	}
	s[i] = x
	*h = s
}

// drop removes the earliest, and its hold on memory.
func (h *heap[T]) drop() {
	s := *h
	n := len(s) - 1
	last := s[n]
	s[n] = entry[T]{}
	*h = s[:n]
	if n > 0 {
		h.sink(&last)
	}
}

// putOff moves the earliest to a later time.
func (h *heap[T]) putOff(at time.Duration) {
	x := (*h)[0]
	x.at = at
	h.sink(&x)
}

// sink puts x in the place of the earliest, and then where it belongs.
func (h *heap[T]) sink(x *entry[T]) {
	s, i := *h, 0
	for {
		down := 2*i + 1
		if down >= len(s) {
			break
		}
		if down+1 < len(s) && s[down+1].before(&s[down]) {
			down++
		}
		if !s[down].before(x) {
			break
		}
		s[i] = s[down]
		i = down
	}
	s[i] = *x
}

// take takes out all of which it is asked, in no order.
func (h *heap[T]) take(asked func(*T) bool) (taken []entry[T]) {
	old := *h
	*h = old[:0]
	for i := range old {
		if x := old[i]; asked(&x.it) {
			taken = append(taken, x)
		} else {
			h.add(x) // never longer than what has been read
		}
	}
	clear(old[len(*h):])
	return taken
}
