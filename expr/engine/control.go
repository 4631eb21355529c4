package engine

import (
	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// control takes an incoming controller: one that the profile moves too is
// combined as the profile says, all others pass.
func (e *Engine) control(p *part, ev *expr.Event) {
	number, value := int(ev.Msg[1]), int(ev.Msg[2])
	p.follow(number, value)
	if value != expr.Rest(number) {
		p.in.take(number)
	}
	var sampler *expr.Sampler
	if p.shaped {
		sampler = &p.profile.Sampler
	}
	if number == expr.CCDamper && p.pedal.planner != nil {
		e.ask(p, func(foot *pedalling.Planner) { foot.Marked(e.now, value >= 64) })
		e.movePedal(p)
		p.pedal.sent = value
	}
	switch {
	case sampler == nil:
		e.emit(ev, expr.Both)
	case isOf(&sampler.Level, number) && p.movesLevel():
		e.emit(ev, expr.Raw)
		if sampler.Incoming.Level == expr.Multiply {
			e.sendLevel(p)
		}
	case isOf(&sampler.VibratoDepth, number) && p.movesVibratoDepth():
		e.emit(ev, expr.Raw)
		e.sendVibrato(p, 0)
	case isOf(&sampler.Brightness, number) && p.movesBrightness():
		e.emit(ev, expr.Raw)
		if len(p.notes) > 0 {
			_, db := p.want(e.now)
			e.sendBrightness(p, db)
		}
	default:
		e.emit(ev, expr.Both)
		p.giveWay(number)
	}
	switch {
	case number == expr.CCDamper:
		if p.in.pedal = value >= 64; !p.in.pedal && !p.pedal.down {
			p.releaseHeld()
			e.settle(p)
		}
	case number == expr.CCSoundOff:
		e.dropNotes(p)
		e.liftPedal(p)
		e.settle(p)
	case number == expr.CCReset:
		e.reset(p)
	case number >= expr.CCNotesOff:
		e.allNotesOff(p)
		e.settle(p)
	}
}

// giveWay forgets what was sent on a controller that the notation program moves from now on.
func (p *part) giveWay(number int) {
	if p.profile == nil {
		return
	}
	sampler := &p.profile.Sampler
	for _, c := range [...]struct {
		control *expr.Control
		how     expr.Combine
		sent    *int
	}{
		{&sampler.Level, sampler.Incoming.Level, &p.sent.level},
		{&sampler.VibratoDepth, sampler.Incoming.Vibrato, &p.sent.vibrato},
		{&sampler.Brightness, sampler.Incoming.Brightness, &p.sent.brightness},
	} {
		if isOf(c.control, number) && c.how == expr.GiveWay && p.in.has(c.control) {
			*c.sent = unsent
		}
	}
}

// Expect tells the engine beforehand that the notation program will move a controller of a
// channel, so that what gives way to it does so from the start. A channel or controller that does
// not exist is passed over.
func (e *Engine) Expect(port, channel, number int) {
	if port >= 0 && port < e.cfg.Ports && channel >= 0 && channel < 16 && number >= 0 && number < 128 {
		e.parts[port*16+channel].in.take(number)
	}
}

// take notes that the notation program moves a controller.
func (in *incoming) take(number int) { in.moves[number/64] |= 1 << (number % 64) }

// has reports whether the notation program moves a controller.
func (in *incoming) has(c *expr.Control) bool {
	taken := func(n int) bool { return in.moves[n/64]>>(n%64)&1 != 0 }
	return taken(c.Number) || c.Number < 32 && taken(c.Number+32)
}

// isOf reports whether a controller number is c's, its LSB included.
func isOf(c *expr.Control, number int) bool {
	return c.Has() && (number == c.Number || c.Number < 32 && number == c.Number+32)
}

// follow keeps what the notation program says, and the bend range through its
// registered parameter.
func (p *part) follow(number, value int) {
	p.in.cc[number] = int16(value)
	if lsb := number + 32; number < 32 && number != expr.CCDataMSB && p.in.cc[lsb] != unsent {
		p.in.cc[lsb] = 0 // MIDI 1.0: the MSB resets the LSB
	}
	selected := p.in.rpnMSB == 0 && p.in.rpnLSB == 0
	switch number {
	case expr.CCRPNMSB:
		p.in.rpnMSB = uint8(value)
	case expr.CCRPNLSB:
		p.in.rpnLSB = uint8(value)
	case expr.CCNRPNMSB, expr.CCNRPNLSB:
		p.in.rpnMSB, p.in.rpnLSB = 127, 127
	case expr.CCDataMSB:
		if selected {
			p.in.bendRange = float64(value)
		}
	case expr.CCDataLSB:
		if selected {
			p.in.bendRange = float64(int(p.in.bendRange)) + float64(value)/100
		}
	}
}

// allNotesOff ends every note, as mode messages 123 to 127 do; the damper is
// respected.
func (e *Engine) allNotesOff(p *part) {
	e.liftPedal(p)
	if !p.in.pedal {
		e.dropNotes(p)
		return
	}
	for i := range p.notes {
		e.endPending(p, i)
		p.notes[i].released = true
	}
}

// reset follows "reset all controllers", which sets expression to full and the
// vibrato depth to none in the sampler, and says ours again.
//
// Source: RP-015.
func (e *Engine) reset(p *part) {
	p.in.pedal = false
	e.liftPedal(p)
	p.pedal.sent = unsent
	p.releaseHeld()
	p.in.bend = expr.BendCentre
	p.in.rpnMSB, p.in.rpnLSB = 127, 127
	for n := range p.in.cc {
		if !expr.KeptByReset(n) {
			p.in.cc[n] = unsent
		}
	}
	if !p.shaped {
		return
	}
	was := p.sent
	p.sent = nothingSent
	p.sent.range_ = was.range_ // RPN values survive
	if was.level != unsent {
		e.sendLevel(p)
	}
	if was.vibrato != unsent || was.bend != unsent {
		e.sendVibrato(p, 0)
	}
}

// bend takes an incoming pitch bend; where the vibrato is drawn with pitch bend,
// the two are added.
func (e *Engine) bend(p *part, ev *expr.Event) {
	p.in.bend = int(ev.Msg[2])<<7 | int(ev.Msg[1])
	if !p.shaped || !p.profile.Sampler.BendVibrato || p.sent.bend == unsent {
		e.emit(ev, expr.Both)
		return
	}
	e.emit(ev, expr.Raw)
	e.sendVibrato(p, 0)
}
