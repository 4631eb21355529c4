package engine

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// noteOff ends a note: at once, or when its gesture says. Where the shaped side ends
// it at another time, it has a pending note-off until then: for no longer than to fill what joinedShare
// leaves to the next note and lap over that, however wrong what was known of its length.
func (e *Engine) noteOff(p *part, ev *expr.Event, tone int64) {
	i := p.find(tone)
	if tone == 0 {
		i = p.findKey(ev.Msg[1])
	}
	if i < 0 {
		if early := &p.early[ev.Msg[1]]; *early > 0 {
			*early--
			e.emit(ev, expr.Raw)
		} else {
			e.emit(ev, expr.Both)
		}
		return
	}
	n := &p.notes[i]
	switch {
	case n.end > e.now: // it sounds on to an end of its own
		n.pending = true
		if longest := e.now + (e.now-n.on)/3 + expr.OverlapTime; n.end > longest {
			e.endAt(p, n, longest)
		}
		e.emit(ev, expr.Raw)
	case n.gesture.Overlap > 0 && !p.in.pedal && !p.changesWay():
		n.pending = true
		e.endAt(p, n, e.now+p.overlap(n))
		e.emit(ev, expr.Raw)
	default:
		e.release(p, i)
		e.emit(ev, expr.Both)
	}
}

// release ends a sounding note; under the pedal it goes on sounding.
func (e *Engine) release(p *part, i int) {
	key := p.notes[i].key
	if p.in.pedal || p.pedal.down {
		p.notes[i].released = true
	} else {
		p.notes = append(p.notes[:i], p.notes[i+1:]...)
	}
	e.settle(p)
	if p.pedal.planner != nil {
		e.ask(p, func(foot *pedalling.Planner) { foot.Off(e.now, int(key)) })
		e.movePedal(p)
	}
}

// overlap is by how much longer a note sounds whose end has come in. If no next one has,
// that is found out a moment later.
func (p *part) overlap(n *sounding) time.Duration {
	if t := p.line.Tone(n.tone); t != nil && t.Next == 0 {
		n.undecided = true
		return expr.JointTime
	}
	return n.gesture.Overlap
}

// endAt has a sounding note end at a time, whenever its note-off comes.
func (e *Engine) endAt(p *part, n *sounding, at time.Duration) {
	n.end = at
	e.put(at, deferred{part: p.index, tone: n.tone, what: ends})
}

// end ends a note whose time has come. One whose end was moved meanwhile, or that
// has gone some other way, is left alone.
func (e *Engine) end(p *part, tone int64) {
	i := p.find(tone)
	if i < 0 || p.notes[i].end == 0 || p.notes[i].end > e.now {
		return
	}
	n := &p.notes[i]
	if t := p.line.Tone(tone); t != nil && n.undecided && t.Next != 0 {
		n.undecided = false
		e.endAt(p, n, e.now+n.gesture.Overlap-expr.JointTime)
		return
	}
	e.cut(p, i)
}

// cut ends a sounding note now. If its own end is still to be played, that is done with it.
func (e *Engine) cut(p *part, i int) {
	n := &p.notes[i]
	if early := &p.early[n.key]; !n.pending && *early < math.MaxUint8 {
		*early++
	}
	n.pending = false
	was := *n
	e.release(p, i)
	e.sendEnd(p, &was)
}

// releaseVelocity is that of a note-off of our own: MIDI 1.0's for a device that knows none.
const releaseVelocity = 64

// sendEnd sends a note-off of our own, as if it came from where the note did.
func (e *Engine) sendEnd(p *part, n *sounding) {
	was := p.source
	p.source = n.source
	e.send(p, 0x80, n.key, releaseVelocity)
	p.source = was
}

// endPending sends the note-off that is pending of a sounding note.
func (e *Engine) endPending(p *part, i int) {
	n := &p.notes[i]
	if n.pending {
		n.pending, n.end = false, 0
		e.sendEnd(p, n)
	}
}

// makeWay ends what sounds on a key when it is struck again: a note that is only sounding on, and
// one whose end came in before the new start did, and would be played after it.
func (e *Engine) makeWay(p *part, key uint8, tone int64) {
	e.endDrawn(p, func(n *sounding) bool { return n.key == key })
	next := p.line.Tone(tone)
	if next == nil {
		return
	}
	e.endEach(p, e.cut, func(n *sounding) bool {
		t := p.line.Tone(n.tone)
		return n.key == key && !n.released && t != nil && t.Off != expr.Unknown && t.Off <= next.On
	})
}

// outgrow ends the notes that are only drawn over a new one, and that the level controller
// would lift past their ceilings on its way to where the new one needs it: nobody draws a
// soft note over a loud one.
func (e *Engine) outgrow(p *part, s *sounding) {
	if p.movesLevel() {
		control := min(p.mfDB+s.gesture.LevelAt(0)+p.weightDB(&s.gesture), s.ceilingDB) - s.carriedDB
		e.endDrawn(p, func(n *sounding) bool { return control > n.ceilingDB-n.carriedDB })
	}
}

// endDrawn ends those of the notes that are drawn over what follows of which it is asked.
func (e *Engine) endDrawn(p *part, asked func(*sounding) bool) {
	e.endEach(p, e.payOff, func(n *sounding) bool { return n.pending && asked(n) })
}

// endEach ends those notes of which it is asked. With the end of one the foot may let go of
// others, so it looks anew after each; one that is ended must not be asked for again.
func (e *Engine) endEach(p *part, end func(*part, int), asked func(*sounding) bool) {
	for i := 0; i < len(p.notes); i++ {
		if asked(&p.notes[i]) {
			end(p, i)
			i = -1
		}
	}
}

// payOff sends the note-off that is pending of a sounding note, and is done with the note.
func (e *Engine) payOff(p *part, i int) {
	e.endPending(p, i)
	e.release(p, i)
}

// changesWay reports whether the next note is played in another way than what sounds: no
// note is drawn over from one to the other, as from a bowed to a plucked one.
func (p *part) changesWay() bool { return p.next != nil && p.next != p.profile }

// hold starts to follow a note.
func (e *Engine) hold(p *part, n sounding) {
	if len(p.notes) == maxNotes {
		e.endPending(p, 0)
		copy(p.notes, p.notes[1:])
		p.notes = p.notes[:maxNotes-1]
	}
	p.notes = append(p.notes, n)
	if n.gesture.Sounding > 0 {
		e.endAt(p, &p.notes[len(p.notes)-1], e.now+n.gesture.Sounding)
	}
}

// dropNotes stops to follow all notes of a part. No note-off is left pending.
func (e *Engine) dropNotes(p *part) {
	for i := range p.notes {
		e.endPending(p, i)
	}
	p.notes = p.notes[:0]
}

// catchUp does what was deferred until now.
func (e *Engine) catchUp(at time.Duration, d *deferred) {
	p := &e.parts[d.part]
	defer e.rescue(p, nil)
	switch d.what {
	case ends:
		if p.shaped {
			e.end(p, d.tone)
		}
	case pedals:
		if at == p.pedal.look { // it has not been put off or forward since
			p.pedal.look = expr.Unknown
			e.movePedal(p)
		}
	case plays:
		e.awaited--
		e.sides = expr.Shaped
		e.play(&d.ev, d.tone)
		e.sides = expr.Both
	}
}
