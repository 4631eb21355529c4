package lesson

import (
	"time"

	"swellbox/expr"
)

// excerpt is what happens from one time to another, from 0 on. What was set before is set at its beginning, what
// sounded before begins there, and at its end all notes end and all pedals are lifted.
func excerpt(events []expr.Event, from, to time.Duration) (out []expr.Event) {
	x := excerpted{sounding: map[[3]int]expr.Event{}, held: map[[2]int]bool{}}
	for i := range events {
		e := events[i]
		if e.At >= to {
			break
		}
		if !e.IsChannel() {
			continue
		}
		e.At -= from
		if e.At < 0 {
			x.before(&e)
			continue
		}
		x.begin(&out)
		x.follow(&e)
		out = append(out, e)
	}
	x.begin(&out)
	x.end(&out, to-from)
	return out
}

// excerpted is an excerpt while it is made.
type excerpted struct {
	set      []expr.Event // all that was set before, in order
	sounding map[[3]int]expr.Event
	order    [][3]int // keys of sounding in the order in which they began
	held     map[[2]int]bool
	begun    bool
}

func key(e *expr.Event) [3]int { return [3]int{int(e.Port), e.Channel(), int(e.Msg[1])} }

const sustain = 64

// follow knows what sounds.
func (x *excerpted) follow(e *expr.Event) {
	switch {
	case e.IsNoteOn():
		x.sounding[key(e)] = *e
		x.order = append(x.order, key(e))
	case e.IsNoteOff():
		delete(x.sounding, key(e))
	case e.Msg[0]&0xF0 == 0xB0 && e.Msg[1] == sustain:
		x.held[[2]int{int(e.Port), e.Channel()}] = e.Msg[2] > 0
	}
}

// before takes what happens before the excerpt.
func (x *excerpted) before(e *expr.Event) {
	x.follow(e)
	if !e.IsNoteOn() && !e.IsNoteOff() {
		e.At = 0
		x.set = append(x.set, *e)
	}
}

// begin sets what was set, and begins what sounds.
func (x *excerpted) begin(out *[]expr.Event) {
	if x.begun {
		return
	}
	x.begun = true
	*out = append(*out, x.set...)
	for _, k := range x.order {
		if e, ok := x.sounding[k]; ok {
			e.At = 0
			*out = append(*out, e)
		}
	}
}

// end ends what sounds.
func (x *excerpted) end(out *[]expr.Event, at time.Duration) {
	for _, k := range x.order {
		if _, ok := x.sounding[k]; ok {
			*out = append(*out, expr.Short(at, uint16(k[0]), 0x80|byte(k[1]), byte(k[2]), 64))
			delete(x.sounding, k)
		}
	}
	for port := range 16 {
		for channel := range 16 {
			if x.held[[2]int{port, channel}] {
				*out = append(*out, expr.Short(at, uint16(port), 0xB0|byte(channel), sustain, 0))
			}
		}
	}
}
