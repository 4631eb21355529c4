package pedalling

import "time"

// foot is where the pedal is and what is planned for it. A plan may still be changed; what is
// due was done and waits to be pulled.
type foot struct {
	depth float64
	last  time.Duration // of its last movement
	moved bool          // there was one
	lift  plan          // up, or half up
	press plan          // then down again
	due   []action
	head  int
}

type action struct {
	at    time.Duration
	depth float64
}

type plan struct {
	at    time.Duration
	depth float64
	set   bool
	wait  bool // it waits to see whether a single note is long
}

// first is the first movement that waits to be pulled, or nil.
func (f *foot) first() *action {
	if f.head == len(f.due) {
		return nil
	}
	return &f.due[f.head]
}

func (f *foot) drop() {
	if f.head++; f.head == len(f.due) {
		f.due, f.head = f.due[:0], 0
	}
}

// ready is the earliest time from at on that the foot can move.
func (f *foot) ready(at time.Duration) time.Duration {
	if f.moved {
		return max(at, f.last+footGap)
	}
	return at
}

// planLift has the foot come up at a time, or as soon as it can, or as was planned if that is earlier.
func (f *foot) planLift(at time.Duration, depth float64, now time.Duration) {
	if f.depth <= depth {
		return
	}
	if at = max(at, now); f.lift.set {
		at, depth = min(at, f.lift.at), min(depth, f.lift.depth)
	}
	f.lift = plan{at: at, depth: depth, set: true}
}

// task is what the planner has to do next.
type task uint8

const (
	nothing task = iota
	lifting
	pressing
	ending
)

// pending is what is to be done next, and when.
func (p *Planner) pending() (at time.Duration, what task) {
	f := &p.foot
	earlier := func(t time.Duration, w task) {
		if t = f.ready(t); what == nothing || t < at {
			at, what = t, w
		}
	}
	if f.lift.set {
		earlier(f.lift.at, lifting)
	}
	if f.press.set && !f.lift.set {
		earlier(f.press.at, pressing)
	}
	if f.depth > 0 && p.held.empty() {
		earlier(p.silent+p.tail(&p.style), ending)
	}
	return at, what
}

// advance does what is due by a time.
func (p *Planner) advance(until time.Duration) {
	for {
		at, what := p.pending()
		if what == nothing || at > until {
			break
		}
		switch f := &p.foot; what {
		case lifting:
			p.move(at, f.lift.depth)
			p.group.lifted = p.group.lifted || f.lift != p.group.lift
			f.lift, p.group.lift = plan{}, plan{}
		case pressing:
			// A foot that comes down when no finger holds anything catches nothing.
			if p.style.damps || !p.held.empty() {
				p.move(at, f.press.depth)
			}
			f.press, p.group.press = plan{}, plan{}
		case ending:
			p.foot.lift, p.foot.press = plan{}, plan{}
			p.move(at, 0)
			p.forget()
		}
	}
	p.now = max(p.now, until)
}

// move moves the foot, which damps what no finger holds.
func (p *Planner) move(at time.Duration, depth float64) {
	f := &p.foot
	if depth == f.depth {
		return
	}
	p.damp(f.depth, depth)
	f.depth, f.last, f.moved = depth, at, true
	f.due = append(f.due, action{at, depth})
}
