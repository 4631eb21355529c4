package engine

import (
	"math"
	"time"

	"swellbox/expr"
)

// off ends a note: at once, or when its gesture says. Where the shaped side ends
// it at another time, it has a pending note-off until then: for no longer than to fill what joinedShare
// leaves to the next note and lap over that, however wrong what was known of its length.
func (n *notes) off(in *input) {
	key := in.ev.Msg[1]
	i := n.find(in.tone)
	if in.tone == 0 {
		i = n.findKey(key)
	}
	if i < 0 {
		if early := &n.early[key]; *early > 0 {
			*early--
			in.emit(expr.Raw)
		} else {
			in.emit(expr.Both)
		}
		return
	}
	s := &n.all[i]
	switch {
	case s.end > n.now: // it sounds on to an end of its own
		s.pending = true
		if longest := n.now + (n.now-s.on)/3 + expr.OverlapTime; s.end > longest {
			n.endAt(s, longest)
		}
		in.emit(expr.Raw)
	case s.gesture.Overlap > 0 && !n.in.pedal && !n.changesWay():
		s.pending = true
		n.endAt(s, n.now+n.overlap(s))
		in.emit(expr.Raw)
	default:
		n.release(i)
		in.emit(expr.Both)
	}
}

// allOff ends every note, as mode messages 123 to 127 do; the damper is respected.
func (n *notes) allOff() {
	if !n.in.pedal {
		n.drop()
		return
	}
	for i := range n.all {
		n.endPending(&n.all[i])
		n.all[i].released = true
	}
}

// release ends a sounding note; under the pedal it goes on sounding.
func (n *notes) release(i int) {
	key := n.all[i].key
	if n.in.pedal || n.held {
		n.all[i].released = true
	} else {
		n.all = append(n.all[:i], n.all[i+1:]...)
	}
	n.ended(key)
}

// overlap is by how much longer a note sounds whose end has come in. If no next one has,
// that is found out a moment later.
func (n *notes) overlap(s *sounding) time.Duration {
	if t := n.line.Tone(s.tone); t != nil && t.Next == 0 {
		s.undecided = true
		return expr.JointTime
	}
	return s.gesture.Overlap
}

// end ends a note whose time has come. One whose end was moved meanwhile, or that
// has gone some other way, is left alone.
func (n *notes) end(tone int64) {
	i := n.find(tone)
	if i < 0 || n.all[i].end == 0 || n.all[i].end > n.now {
		return
	}
	s := &n.all[i]
	if t := n.line.Tone(tone); t != nil && s.undecided && t.Next != 0 {
		s.undecided = false
		n.endAt(s, n.now+s.gesture.Overlap-expr.JointTime)
		return
	}
	n.cut(i)
}

// cut ends a sounding note now. If its own end is still to be played, that is done with it.
func (n *notes) cut(i int) {
	s := &n.all[i]
	if early := &n.early[s.key]; !s.pending && *early < math.MaxUint8 {
		*early++
	}
	s.pending = false
	source, key := s.source, s.key
	n.release(i)
	n.sendFor(source, 0x80, key, releaseVelocity)
}

// makeWay ends what sounds on a key when it is struck again: a note that is only sounding on, and
// one whose end came in before the new start did, and would be played after it.
func (n *notes) makeWay(key uint8, tone int64) {
	n.endDrawn(func(s *sounding) bool { return s.key == key })
	next := n.line.Tone(tone)
	if next == nil {
		return
	}
	n.endEach(n.cut, func(s *sounding) bool {
		t := n.line.Tone(s.tone)
		return s.key == key && !s.released && t != nil && t.Off != expr.Unknown && t.Off <= next.On
	})
}

// outgrow ends the notes that are only drawn over a new one, and that the level controller
// would lift past their ceilings on its way to where the new one needs it: nobody draws a
// soft note over a loud one.
func (n *notes) outgrow(by *sounding) {
	if n.movesLevel() {
		control := n.startDB(&by.gesture, by.ceilingDB) - by.carriedDB
		n.endDrawn(func(s *sounding) bool { return control > s.ceilingDB-s.carriedDB })
	}
}

// endDrawn ends those of the notes that are drawn over what follows of which it is asked.
func (n *notes) endDrawn(asked func(*sounding) bool) {
	n.endEach(n.payOff, func(s *sounding) bool { return s.pending && asked(s) })
}

// endEach ends those notes of which it is asked. With the end of one the foot may let go of
// others, so it looks anew after each; one that is ended must not be asked for again.
func (n *notes) endEach(end func(int), asked func(*sounding) bool) {
	for i := 0; i < len(n.all); i++ {
		if asked(&n.all[i]) {
			end(i)
			i = -1
		}
	}
}

// payOff sends the note-off that is pending of a sounding note, and is done with the note.
func (n *notes) payOff(i int) {
	n.endPending(&n.all[i])
	n.release(i)
}
