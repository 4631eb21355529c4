package engine

import (
	"time"

	"swellbox/expr"
)

// conductor has the parts play what is due, each thing in its turn.
type conductor struct {
	ensemble
	parts    []part // port*16 + channel
	time     timekeeping
	sequence sequence
}

// part is the part that an event belongs to; nil if it belongs to none.
func (c *conductor) part(ev *expr.Event) *part {
	if !ev.IsChannel() || int(ev.Port) >= c.cfg.Ports {
		return nil
	}
	return &c.parts[int(ev.Port)*16+ev.Channel()]
}

// has reports whether there is a channel on a port.
func (c *conductor) has(port, channel int) bool {
	return port >= 0 && port < c.cfg.Ports && channel >= 0 && channel < 16
}

// idle reports whether nothing sounds, nothing waits to, and no note has come for a while.
func (c *conductor) idle() bool { return c.rests() && !c.listener.Sounds() }

// hear follows an event at the time at which it comes in, before it waits to sound, and
// returns the number of its note in its line, 0 if it is none and passed if it is one that
// passes as it comes.
func (c *conductor) hear(ev *expr.Event) (tone int64) {
	p := c.part(ev)
	if p == nil {
		c.listener.Message(int(ev.Port), ev.Bytes(), c.now)
		return 0
	}
	i := int(p.sampler.index)
	defer p.deafen()
	switch {
	case ev.IsNoteOn():
		c.noteAt = c.now
		if p.variantFor(ev) != nil {
			return 0
		}
		if c.listener.Score.Calls(int(ev.Note)-1) || p.calls(ev.Msg[1]) {
			return passed
		}
		return c.listener.NoteOn(i, ev.Channel() == expr.DrumChannel, ev.Msg[1], ev.Msg[2], c.now)
	case ev.IsNoteOff():
		return c.listener.NoteOff(i, ev.Msg[1], c.now)
	case ev.Msg[0]&0xF0 == 0xB0 && ev.Len == 3:
		c.listener.Control(i, int(ev.Msg[1]), int(ev.Msg[2]), c.now)
	}
	return 0
}

// play plays one event now, for some sides.
func (c *conductor) play(ev *expr.Event, tone int64, sides expr.Side) {
	c.cfg.Trial.Of(expr.OfAll)
	in := input{ensemble: &c.ensemble, ev: ev, tone: tone, sides: sides}
	if p := c.part(ev); p != nil {
		p.play(&in)
		return
	}
	c.time.clocked = c.time.clocked || ev.Len == 1 && ev.Msg[0] == expr.TimingClock
	in.emit(expr.Both)
}

// advance moves the time to t and does what was due by then: at one time
// first what was deferred, then what moves, then what was waiting to sound.
func (c *conductor) advance(t time.Duration) {
	for {
		next, found := c.next(c.time.most())
		if !found || next > t {
			break
		}
		c.done = max(c.done, next)
		c.now = c.done
		switch {
		case len(c.later) > 0 && c.later[0].at <= next:
			c.catchUpAt(0)
		case len(c.wakes) > 0 && c.wakes[0].at <= next:
			c.moveAt(0)
		default:
			c.takeWaiting()
		}
	}
	c.done = max(c.done, t)
	c.now = c.done
}

// Overtake takes a message of a part that is not to wait for what other parts owe by its time:
// their movement, and the ends of their notes. Only what its own part owes is done before it. The
// next Pull or Push does the rest, as of the times at which it was due, so that each part says the
// same as after a Push; only the order among parts is another. What the message causes is to be had
// by [Engine.Ready]. It does nothing and reports false where there is nothing to overtake, as all waits
// to sound, and where the message is no part's: it is to be pushed then.
func (c *conductor) Overtake(ev expr.Event) bool {
	p := c.part(&ev)
	if p == nil || c.cfg.Lookahead > 0 || c.delay.of(ev.At) > 0 || c.ahead.n > 0 || c.awaited > 0 {
		return false
	}
	c.listener.Reflect()
	c.advancePart(p.sampler.index, ev.At)
	ev.At = c.now
	tone := c.hear(&ev)
	c.play(&ev, tone, expr.Both)
	c.sequence.take(&ev)
	return true
}

// advancePart does what one part owes by t, in the order in which [conductor.advance] would, and
// leaves what all others owe for later, when it is done as of its own time.
func (c *conductor) advancePart(part int32, t time.Duration) {
	for c.now = c.done; ; {
		moves := c.wakes.find(t, func(p *int32) bool { return *p == part })
		later := c.later.find(t, func(d *deferred) bool { return d.part == part })
		switch {
		case later >= 0 && (moves < 0 || c.later[later].at <= c.wakes[moves].at):
			c.now = max(c.now, c.later[later].at)
			c.catchUpAt(later)
		case moves >= 0:
			c.now = max(c.now, c.wakes[moves].at)
			c.moveAt(moves)
		default:
			c.now = max(c.now, t)
			return
		}
	}
}

// moveAt has the part at a place among the wakes move.
func (c *conductor) moveAt(i int) {
	p := &c.parts[c.wakes[i].it]
	moving := p.tryMove()
	c.rewake(i, moving, p.sampler.period())
}

// catchUpAt does what is at a place among what was deferred.
func (c *conductor) catchUpAt(i int) {
	d := c.later[i]
	c.later.dropAt(i)
	c.catchUp(d.at, &d.it)
}

// catchUp does what was deferred until now.
func (c *conductor) catchUp(at time.Duration, d *deferred) {
	p := &c.parts[d.part]
	defer p.rescue(nil)
	switch d.what {
	case ends:
		if p.sampler.shaped {
			p.notes.end(d.tone)
		}
	case pedals:
		p.pedal.lookedAt(at)
	case plays:
		c.awaited--
		c.play(&d.ev, d.tone, expr.Shaped)
	}
}

// takeWaiting looks at the event whose time it is: first, when a player plays it
// is decided, as early as that may come to be; at its due time it sounds. What is not a
// part's own stays with the raw side.
func (c *conductor) takeWaiting() {
	if w := c.ahead.undecided(); w != nil && w.due-c.time.most() <= c.now {
		c.ahead.decided++
		if w.seating == nil && c.time.departs() {
			if p := c.part(&w.ev); p != nil {
				c.time.decide(p, w)
			}
		}
		return
	}
	w := *c.ahead.at(0)
	c.ahead.drop()
	if w.seating != nil {
		c.parts[w.seating.part].take(w.seating)
		return
	}
	c.sound(&w)
}

// sound has an event that waited come out now, on the sides on which it has not been played.
func (c *conductor) sound(w *waiting) {
	if !w.split {
		c.play(&w.ev, w.tone, expr.Both)
		return
	}
	in := input{ensemble: &c.ensemble, ev: &w.ev, sides: expr.Both}
	in.emit(expr.Raw)
}

// hurry has what waits on a port come now: first what the players had taken up, then
// the rest, so that the order stays. Notes are dropped; the clock keeps its time.
func (c *conductor) hurry(port uint16) {
	for _, d := range c.unplayed(port) {
		if d.it.ev.IsNote() {
			c.awaited--
		} else {
			c.catchUp(d.at, &d.it)
		}
	}
	for _, w := range c.ahead.remove(port) {
		if !w.ev.IsNote() {
			c.sound(&w)
		}
	}
}
