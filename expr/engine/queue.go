package engine

import "swellbox/expr"

// queue holds the events that are due but not yet pulled, in the order of their
// times and, at one time, in the order in which they were put in.
type queue struct{ ring[expr.Event] }

// put puts an event in, for a side.
func (q *queue) put(e *expr.Event, side expr.Side) {
	q.grow()
	i := q.n - 1
	// Events arrive in order of time but for those that a habit has put off;
	// stepping back over later ones keeps equal times in order of arrival.
	for i > 0 && q.at(i-1).At > e.At {
		*q.at(i) = *q.at(i - 1)
		i--
	}
	*q.at(i) = *e
	q.at(i).Side = side
}

func (q *queue) first() *expr.Event { return q.at(0) }
