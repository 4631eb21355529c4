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
	s[s.rise(len(s)-1, &x)] = x
	*h = s
}

// rise makes room for x where it belongs above a place that is free, and tells where.
func (h heap[T]) rise(i int, x *entry[T]) int {
	for ; i > 0 && x.before(&h[(i-1)/2]); i = (i - 1) / 2 {
		h[i] = h[(i-1)/2]
	}
	return i
}

// dropAt removes the one at a place, and its hold on memory. The earliest is at 0.
func (h *heap[T]) dropAt(i int) {
	s := *h
	n := len(s) - 1
	last := s[n]
	s[n] = entry[T]{}
	s = s[:n]
	*h = s
	if i < n {
		h.sink(s.rise(i, &last), &last) // it may come from another branch
	}
}

// putOff moves the one at a place to a later time.
func (h *heap[T]) putOff(i int, at time.Duration) {
	x := (*h)[i]
	x.at = at
	h.sink(i, &x)
}

// find is the place of the earliest that is due by a time and wanted; -1 if there is none. It
// looks at nothing that is not due, nor at what comes after one that is wanted.
func (h heap[T]) find(due time.Duration, wanted func(*T) bool) int {
	return h.findBelow(0, due, wanted)
}

func (h heap[T]) findBelow(i int, due time.Duration, wanted func(*T) bool) int {
	if i >= len(h) || h[i].at > due {
		return -1
	}
	if wanted(&h[i].it) {
		return i
	}
	left, right := h.findBelow(2*i+1, due, wanted), h.findBelow(2*i+2, due, wanted)
	if left < 0 || right >= 0 && h[right].before(&h[left]) {
		return right
	}
	return left
}

// sink puts x in a place, and then where it belongs below.
func (h *heap[T]) sink(i int, x *entry[T]) {
	s := *h
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
