package engine

import (
	"math"

	"swellbox/expr"
)

// sampler is one channel of the sampler: what the notation program says to it, how it is played
// and answers, and what the shaped side has told it.
type sampler struct {
	*ensemble
	way
	index    int32  // of the channel: port*16 + channel
	source   uint16 // of the latest event: what is sent goes by it
	standing Standing
	in       incoming
	sent     sent

	levelDB float64 // what the level controller adds now, dB, without what came in
	capDB   float64 // what it may add before some sounding note passes its ceiling, dB
	depth   float64 // of the vibrato now, cents
	volume  volume
}

// sent is what the shaped side has been told, in the controllers' own numbers.
type sent struct {
	level, vibrato, rate, delay, brightness int
	bend                                    int
	range_                                  bool // our bend range has been set
}

var nothingSent = sent{level: expr.Unknown, vibrato: expr.Unknown, rate: expr.Unknown, delay: expr.Unknown, brightness: expr.Unknown, bend: expr.Unknown}

// send sends a message of our own on the shaped side.
func (s *sampler) send(status, d1, d2 byte) { s.sendFor(s.source, status, d1, d2) }

// sendFor sends a message of our own as if it came from a source.
func (s *sampler) sendFor(source uint16, status, d1, d2 byte) {
	s.say(&expr.Event{Port: uint16(s.index / 16), Source: source, Msg: [3]byte{status | byte(s.index%16), d1, d2}, Len: 3}, s.now, expr.Shaped)
}

// sendControl sends a controller in its own steps, if it has changed.
func (s *sampler) sendControl(c *expr.Control, last *int, value int) {
	if value == *last {
		return
	}
	if !c.Fine {
		s.send(0xB0, byte(c.Number), byte(value))
	} else {
		if *last == expr.Unknown || value>>7 != *last>>7 {
			s.send(0xB0, byte(c.Number), byte(value>>7))
		}
		s.send(0xB0, byte(c.Number+32), byte(value&0x7F))
	}
	*last = value
}

// steps is the controller's own number for a physical value. It looks first where
// the controller stands, as most movements are slower than its steps.
func steps(c *expr.Control, physical float64, last int) int {
	if c.Fine {
		return int(math.Round(c.Response.Invert(physical) / 127 * expr.BendMax))
	}
	if last != expr.Unknown && c.Response.NearestIs(last, physical) {
		return last
	}
	return int(math.Round(c.Response.Invert(physical)))
}

// movesLevel reports whether the level controller is ours to move: the player
// has one, and the profile does not leave it to the notation program.
func (s *sampler) movesLevel() bool {
	return s.moves(&s.profile.Sampler.Level, s.profile.Sampler.Incoming.Level)
}

// movesDepth reports whether the vibrato depth controller is ours to move in a way of playing.
func (s *sampler) movesDepth(w *way) bool {
	answers := &w.profile.Sampler
	return w.vibrates && !answers.BendVibrato && s.moves(&answers.VibratoDepth, answers.Incoming.Vibrato)
}

// movesBrightness reports whether the brightness controller is ours to move.
func (s *sampler) movesBrightness() bool {
	answers := &s.profile.Sampler
	return answers.BrightPerDB != 0 && s.moves(&answers.Brightness, answers.Incoming.Brightness)
}

// moves reports whether a controller is ours to move, by how it meets the notation program's.
func (s *sampler) moves(c *expr.Control, how expr.Combine) bool {
	return c.Has() && how != expr.Leave && (how != expr.GiveWay || !s.in.has(c))
}

// isOf reports whether a controller number is c's, its LSB included.
func isOf(c *expr.Control, number int) bool {
	return c.Has() && (number == c.Number || c.Number < 32 && number == c.Number+32)
}

// giveWay forgets what was sent on a controller that the notation program moves from now on.
func (s *sampler) giveWay(number int) {
	if s.profile == nil {
		return
	}
	answers := &s.profile.Sampler
	for _, c := range [...]struct {
		control *expr.Control
		how     expr.Combine
		sent    *int
	}{
		{&answers.Level, answers.Incoming.Level, &s.sent.level},
		{&answers.VibratoDepth, answers.Incoming.Vibrato, &s.sent.vibrato},
		{&answers.Brightness, answers.Incoming.Brightness, &s.sent.brightness},
	} {
		if isOf(c.control, number) && c.how == expr.GiveWay && s.in.has(c.control) {
			*c.sent = expr.Unknown
		}
	}
}

// sendBrightness has the sampler be so much brighter, dB, than at mf.
func (s *sampler) sendBrightness(db float64) {
	if !s.movesBrightness() {
		return
	}
	c := &s.profile.Sampler.Brightness
	if v := s.in.Said(c.Number); v != expr.Unknown && s.profile.Sampler.Incoming.Brightness == expr.Multiply {
		db += c.Response.At(float64(v))
	}
	s.sendControl(c, &s.sent.brightness, steps(c, db, s.sent.brightness))
}

// giveToneBack leaves brightness and pitch as they came in.
func (s *sampler) giveToneBack() {
	c := &s.profile.Sampler.Brightness
	switch {
	case s.sent.brightness == expr.Unknown:
	case s.in.Said(c.Number) != expr.Unknown:
		s.sendControl(c, &s.sent.brightness, s.in.steps(c))
	default:
		s.sendControl(c, &s.sent.brightness, steps(c, 0, s.sent.brightness))
	}
	if s.sent.bend != expr.Unknown {
		s.sendBend(s.in.Bend())
	}
}
