package live

import (
	"time"

	"swellbox/expr"
)

// CableSpeed is what a MIDI 1.0 cable carries, bytes a second: 31,250 baud, 10 bits a byte (MIDI 1.0).
const CableSpeed = 3125

// cable holds what waits for an output that is sent only so many bytes a second. Notes, and all that
// must not be lost, go first and in their order. Of what only moves a sound, as levels, vibrato and
// the bend do, the latest value alone waits, and what is most clearly heard goes first. A note
// finds its own part's controllers where they were when it came.
type cable struct {
	speed   float64 // bytes a second
	credit  float64 // bytes that may be sent now; under 0 after a long message
	at      time.Time
	firm    []expr.Event
	moving  [16][movements]movement // by channel and what moves
	pending int                     // of those
	order   uint64
}

// movement is one thing that moves on a channel.
type movement struct {
	ev    expr.Event // the latest that waits, if it does
	waits bool
	order uint64 // of when it began to
	sent  int    // value that was sent last
}

// What moves: controllers by their number, then the channel's pressure, and the bend.
const (
	pressure = 128 + iota
	bend
	movements
)

// lead is how far a cable may run ahead of its speed, s: what a timer's lateness would lose otherwise. It
// is taken from the speed, so that no second carries more. Ours.
const lead = 0.01

// newCable makes a cable of a speed in bytes a second; nil for 0, no cable.
func newCable(speed int) *cable {
	if speed <= 0 {
		return nil
	}
	return &cable{speed: float64(speed), credit: float64(speed) * lead}
}

// moves tells what a message moves on its channel, and where to; false if it does anything else.
func moves(e *expr.Event) (what, value int, is bool) {
	if e.Data != nil || e.Len < 2 {
		return 0, 0, false
	}
	switch n := int(e.Msg[1]); e.Msg[0] & 0xF0 {
	case 0xB0: // not banks, data and parameters, nor what is pressed or switched
		fine := n &^ 32
		return n, int(e.Msg[2]), n < 64 && fine != 0 && fine != 6 || n >= 70 && n < 80
	case 0xD0:
		return pressure, n, true
	case 0xE0:
		return bend, n/16 + int(e.Msg[2])*8, true // in steps of a sixteenth of a semitone's most
	}
	return 0, 0, false
}

// put adds a message.
func (c *cable) put(e *expr.Event) {
	what, _, moving := moves(e)
	if !moving {
		if e.IsChannel() && !e.IsNoteOff() {
			c.settle(e.Channel())
		}
		c.firm = append(c.firm, *e)
		return
	}
	m := &c.moving[e.Channel()][what]
	if !m.waits {
		c.order++
		c.pending++
		m.waits, m.order = true, c.order
	}
	m.ev = *e
}

// settle has what moves on a channel keep its place before what comes next there.
func (c *cable) settle(channel int) {
	for what := range c.moving[channel] {
		if c.pending == 0 {
			return
		}
		if m := &c.moving[channel][what]; m.waits {
			c.firm = append(c.firm, m.ev)
			c.went(m)
		}
	}
}

// went notes that a movement is on its way.
func (c *cable) went(m *movement) {
	_, m.sent, _ = moves(&m.ev)
	m.waits = false
	c.pending--
}

// take appends what may be sent by now, and tells how long it is until more may; 0 if nothing waits.
func (c *cable) take(now time.Time, to []expr.Event) ([]expr.Event, time.Duration) {
	most := c.speed * lead
	if !c.at.IsZero() {
		c.credit = min(most, c.credit+now.Sub(c.at).Seconds()*(c.speed-most))
	}
	c.at = now
	taken := 0
	for len(c.firm) > taken || c.pending > 0 {
		e, moved := (*expr.Event)(nil), (*movement)(nil)
		if len(c.firm) > taken {
			e = &c.firm[taken]
		} else {
			moved = c.clearest()
			e = &moved.ev
		}
		n := float64(len(e.Bytes()))
		if short := min(n, most) - c.credit; short > 0 {
			c.forget(taken)
			return to, max(time.Duration(short/(c.speed-most)*float64(time.Second)), time.Microsecond)
		}
		c.credit -= n
		to = append(to, *e)
		if moved != nil {
			c.went(moved)
		} else {
			taken++
		}
	}
	c.forget(taken)
	return to, 0
}

// forget drops so many of the first.
func (c *cable) forget(n int) {
	left := copy(c.firm, c.firm[n:])
	clear(c.firm[left:])
	c.firm = c.firm[:left]
}

// clearest is what is heard most of all that waits to move: the farthest from where it was sent, a
// level before what colours it; of those alike the one that waits longest.
func (c *cable) clearest() *movement {
	var first *movement
	most := -1
	for ch := range c.moving {
		for what := range c.moving[ch] {
			m := &c.moving[ch][what]
			if !m.waits {
				continue
			}
			_, value, _ := moves(&m.ev)
			way := max(value-m.sent, m.sent-value) * clarity(what)
			if way > most || way == most && m.order < first.order {
				first, most = m, way
			}
		}
	}
	return first
}

// clarity is how much a step is heard by. Ours: a step of a level is some 0.3 dB, a step of the bend a
// few cents, and one of a vibrato's depth or of a colour is hardly heard alone.
func clarity(what int) int {
	switch what {
	case 1, 2, 7, 11:
		return 3
	case bend:
		return 2
	}
	return 1
}

// waiting is how many messages wait.
func (c *cable) waiting() int { return len(c.firm) + c.pending }

// clear drops all that waits.
func (c *cable) clear() {
	c.forget(len(c.firm))
	for ch := range c.moving {
		for what := range c.moving[ch] {
			c.moving[ch][what].waits = false
		}
	}
	c.pending = 0
}
