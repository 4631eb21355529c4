package engine

import (
	"time"

	"swellbox/expr"
)

// output is what comes out: what is due and not yet pulled. As it is said in the order of time, a
// ring holds it.
type output struct {
	sides expr.Side // that are asked for
	queue ring[expr.Event]
}

// say has a message come out at a time, on those of some sides that are asked for.
func (o *output) say(ev *expr.Event, at time.Duration, side expr.Side) {
	if side &= o.sides; side != 0 {
		said := o.queue.grow()
		*said = *ev
		said.At, said.Side = at, side
	}
}

// first is what comes out next; false if nothing is due.
func (o *output) first() (*expr.Event, bool) {
	if o.queue.n == 0 {
		return nil, false
	}
	return o.queue.at(0), true
}
