package perform

import "swellbox/expr"

// begun is the notes of a key that have begun on one side and not yet on the other, which may
// play them earlier or later. The sides begin the notes of a key in the same order.
type begun struct {
	notes int8   // how many; negative where it is the shaped side that has begun them
	out   uint32 // which were let out, the latest in bit 0
}

// releaseVelocity is that of a note-off of our own: MIDI 1.0's for a device that knows none.
const releaseVelocity = 64

// maxBegun is how many are told apart. On one side alone, as in a render, they only come.
const maxBegun = 32

// ahead is which side has begun notes that the other has not; 0 if none has.
func (b *begun) ahead() expr.Side {
	switch {
	case b.notes > 0:
		return expr.Raw
	case b.notes < 0:
		return expr.Shaped
	}
	return 0
}

// first has a note begin that the other side is yet to begin.
func (b *begun) first(side expr.Side, out bool) {
	b.out <<= 1
	if out {
		b.out |= 1
	}
	if side == expr.Raw {
		b.notes = min(b.notes+1, maxBegun)
	} else {
		b.notes = max(b.notes-1, -maxBegun)
	}
}

// second has the eldest note begin on the other side too, and reports whether it has been let out.
func (b *begun) second() (out bool) {
	n := max(b.notes, -b.notes)
	out = b.out>>(n-1)&1 != 0
	if b.notes > 0 {
		b.notes--
	} else {
		b.notes++
	}
	return out
}

// noteOn lets each note out once: when the chosen side begins it, unless the other has let
// it out before a switch; or with the second of the sides, where a switch came between
// them and the first was not chosen.
func (d *desk) noteOn(s *strip, e *expr.Event) {
	key := e.Msg[1]
	b := &s.begun[key]
	if e.Side == expr.Both && b.notes == 0 {
		s.strike(expr.Raw, e)
		s.strike(expr.Shaped, e)
		s.kept[1-sideIndex(s.side)][key]++
		d.begin(s, s.side, e)
		return
	}
	for _, side := range [...]expr.Side{expr.Raw, expr.Shaped} {
		if e.Side&side == 0 {
			continue
		}
		s.strike(side, e)
		var out bool
		if ahead := b.ahead(); ahead == 0 || ahead == side {
			out = side == s.side
			b.first(side, out)
		} else {
			out = !b.second()
		}
		if out {
			d.begin(s, side, e)
		} else {
			s.kept[sideIndex(side)][key]++
		}
	}
}

func (s *strip) strike(side expr.Side, e *expr.Event) { s.struck[sideIndex(side)][e.Msg[1]] = e.Msg[2] }

// begin lets a note out that is a side's to end. It is as loud as the chosen side has it,
// whose controllers the port has. What the other side still holds on the key ends before, as its
// end would come in the midst of this note.
func (d *desk) begin(s *strip, side expr.Side, e *expr.Event) {
	key, mine, other := e.Msg[1], sideIndex(side), 1-sideIndex(side)
	for ; s.held[other][key] > 0; s.held[other][key]-- {
		s.kept[other][key]++
		d.say(int(e.Port)*16+e.Channel(), e.At, 0x80, key, releaseVelocity)
	}
	s.source = e.Source
	s.held[mine][key]++
	d.notes++
	if velocity := s.struck[sideIndex(s.side)][key]; velocity != e.Msg[2] && velocity != 0 {
		d.own = *e
		d.own.Msg[2] = velocity
		e = &d.own
	}
	d.emit(e)
}

// noteOff lets a note-off out for each side on which the key is held. One that ends what was
// not let out stays in; one that ends nothing at all is let out if its side is chosen: it
// came in, and does no harm.
func (d *desk) noteOff(s *strip, e *expr.Event) {
	key, ended := e.Msg[1], false
	for i, side := range [...]expr.Side{expr.Raw, expr.Shaped} {
		switch {
		case e.Side&side == 0:
		case s.held[i][key] > 0:
			s.held[i][key]--
			ended = true
			d.emit(e)
		case s.kept[i][key] > 0:
			s.kept[i][key]--
			ended = ended || e.Side == side
		}
	}
	if !ended && e.Side&s.side != 0 {
		d.emit(e)
	}
}
