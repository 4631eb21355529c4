package engine

// ring is a row that is put to at its end and taken from at its front. It doubles when full,
// and allocates only then.
type ring[T any] struct {
	all     []T // length a power of two
	head, n int
}

// at is the element at a place from the front, which must be under n.
func (r *ring[T]) at(i int) *T { return &r.all[(r.head+i)&(len(r.all)-1)] }

// grow makes one more place at the end and returns it, as it was left.
func (r *ring[T]) grow() *T {
	if r.n == len(r.all) {
		all := make([]T, max(64, 2*len(r.all)))
		for i := range r.n {
			all[i] = *r.at(i)
		}
		r.all, r.head = all, 0
	}
	r.n++
	return r.at(r.n - 1)
}

// drop removes the first, and its hold on memory.
func (r *ring[T]) drop() {
	var none T
	*r.at(0) = none
	r.head = (r.head + 1) & (len(r.all) - 1)
	r.n--
}

// keep leaves those of which it is asked, in their order; the others are given to gone.
func (r *ring[T]) keep(asked func(i int, x *T) bool, gone func(*T)) {
	var none T
	kept := 0
	for i := range r.n {
		x := r.at(i)
		if !asked(i, x) {
			gone(x)
			continue
		}
		*r.at(kept) = *x
		kept++
	}
	for i := kept; i < r.n; i++ {
		*r.at(i) = none
	}
	r.n = kept
}
