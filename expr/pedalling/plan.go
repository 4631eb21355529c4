package pedalling

import "time"

// verdict is what the foot does about a group.
type verdict uint8

const (
	stay   verdict = iota // as it is, or down if it is up
	halve                 // half up and down again
	change                // up and down again
	lift                  // up
	leave                 // as it is in any case
)

// plan plans the foot for the group as far as it is known, from the plans that stood before it.
func (p *Planner) plan() {
	g, f := &p.group, &p.foot
	if g.lifted {
		return
	}
	f.lift, f.press = g.lift, g.press
	p.listen(f.depth)
	if p.advice&Advised != 0 && p.style.advised {
		p.follow()
		return
	}
	g.verdict = p.judge(g)
	switch g.verdict {
	case lift:
		f.press = plan{}
		p.foot.planLift(g.on, 0, p.now)
	case change:
		p.planChange(0)
	case halve:
		p.planChange(0.5)
	case stay:
		p.planStay()
	}
}

func (p *Planner) judge(g *group) verdict {
	run := g.steps >= 2 && !p.style.damps && !p.resting(p.foot.depth)
	halves := p.half && p.foot.depth == 1
	switch {
	case g.staccato:
		return lift
	case p.foot.depth > 0 && !p.broken && p.ornaments(g):
		return leave
	case g.moved && halves && p.organPoint(g):
		return halve
	case g.moved:
		return change
	case run && p.foot.depth > 0:
		return change
	case g.blur == muddy && halves && p.organPoint(g):
		return halve
	case g.blur == muddy && !p.resting(p.foot.depth):
		return change
	case g.blur == passing && p.half && !p.resting(p.foot.depth):
		return halve
	}
	return stay
}

// planChange has the foot come up to a depth and down again.
func (p *Planner) planChange(depth float64) {
	g, f := &p.group, &p.foot
	if f.depth == 0 && !f.lift.set {
		p.planDown()
		return
	}
	up, down, ok := legato(p.pace(), g.lasts())
	switch {
	case p.style.damps:
		up, down, ok = 0, footGap, true
	case g.steps >= 2:
		f.press = p.single(down)
		p.foot.planLift(g.on+up, depth, p.now)
		return
	case depth > 0:
		if !ok {
			down, ok = up+minRepress, true
		}
	case p.held.fills():
	case p.broken && p.pace() < fastStep:
		up, down, ok = quick(g.lasts())
	case p.broken, p.chord.count() >= 3 && g.steps == 0: // the bass of the chord to come
	default:
		f.press = p.single(down)
		p.foot.planLift(g.on+up, depth, p.now)
		return
	}
	p.foot.planLift(g.on+up, depth, p.now)
	f.press = plan{}
	if ok && !p.restFollows() {
		f.press = p.pressAt(g.on+down, f.lift.at)
	}
}

// pressAt is to be down at a time, or if the foot was late in coming up, so much later as it can.
func (p *Planner) pressAt(at, lifted time.Duration) plan {
	return plan{at: max(at, p.foot.ready(lifted)+footGap), depth: p.deep(), set: true}
}

// planStay leaves the foot down, or has it come down if it is up.
func (p *Planner) planStay() {
	f := &p.foot
	switch {
	case f.press.set && !f.press.wait:
	case f.depth == 0 || f.lift.set, p.resting(p.foot.depth) && p.held.fills():
		p.planDown()
	}
}

// planDown has a foot that is up come down.
func (p *Planner) planDown() {
	g, f := &p.group, &p.foot
	f.press = plan{}
	if p.restFollows() {
		return
	}
	passes := p.pace() < shortNote && (g.moved || p.chord == 0) // a quick chord that may soon be over
	down, _, _ := legato(p.pace(), Unknown)
	switch {
	case g.steps >= 2 && !p.style.damps:
		f.press = p.single(down)
		return
	case p.style.atOnset:
		down = 0
	case p.held.fills() && !passes, p.broken, g.leaps >= 2 && (p.chord|p.harmonyOf(g).classes()).count() >= 3 && !g.moved:
		if g.lasts() >= 0 {
			down = min(down, latest(g.lasts()))
		}
	default:
		f.press = p.single(down)
		return
	}
	f.press = plan{at: max(g.on+down, p.now), depth: p.deep(), set: true}
}

// single is to be down on a single note if it is long, or, where nobody knows, has become so.
func (p *Planner) single(down time.Duration) plan {
	g := &p.group
	long := longSingle
	if g.steps == 0 && g.keys.lowest() < bassBelow+reach {
		long = shortNote
	}
	switch {
	case g.lasts() >= 0 && g.lasts() < long || p.restFollows():
		return plan{}
	case g.lasts() < 0:
		down = longSingle
	}
	return plan{at: g.on + down, depth: p.deep(), set: true, wait: true}
}

// deep is how far down the foot goes.
func (p *Planner) deep() float64 {
	if p.half && !p.held.fills() {
		return p.style.single
	}
	return 1
}

// restFollows reports whether more than a beat's rest is known to follow the group.
func (p *Planner) restFollows() bool {
	return p.style.tail == 0 && !p.group.unsure && p.nextOn-p.until > p.beat
}

// follow plans the foot by the advice.
func (p *Planner) follow() {
	g, f := &p.group, &p.foot
	at, after := p.advice&DownAt != 0, p.advice&DownAfter != 0
	clears := at && after && f.depth > 0 && g.moved && g.blur == muddy && g.keys.fills() // a chord is not to run into another; ours
	g.verdict = stay
	switch {
	case clears && p.half && f.depth == 1:
		g.verdict = halve
		p.foot.planLift(g.on+adviceLift, 0.5, p.now)
		f.press = p.pressAt(g.on+pressTime(p.pace()), f.lift.at)
	case clears, !at && after:
		if g.verdict = change; f.depth > 0 {
			p.foot.planLift(g.on+adviceLift, 0, p.now)
		}
		f.press = p.pressAt(g.on+pressTime(p.pace()), g.on+adviceLift)
	case !at:
		g.verdict, f.press = lift, plan{}
		p.foot.planLift(g.on+adviceLift, 0, p.now)
	case after:
		if f.depth == 0 && !f.press.set || f.lift.set {
			f.press = plan{at: max(g.on, p.now), depth: p.deep(), set: true}
		}
	default:
		f.press = plan{}
		p.foot.planLift(g.on+p.pace()/2, 0, p.now)
	}
}
