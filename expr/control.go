package expr

// Controllers of MIDI 1.0 that the engine itself knows; all others are the profile's.
const (
	ccDataMSB  = 6
	ccDataLSB  = 38
	ccDamper   = 64
	ccNRPNLSB  = 98
	ccNRPNMSB  = 99
	ccRPNLSB   = 100
	ccRPNMSB   = 101
	ccSoundOff = 120
	ccReset    = 121
	ccNotesOff = 123
)

// timingClock is the MIDI clock, 24 a quarter note (MIDI 1.0).
const timingClock = 0xF8

// control takes an incoming controller: one that the profile moves too is
// combined as the profile says, all others pass.
func (e *Engine) control(p *part, ev *Event) {
	number, value := int(ev.Msg[1]), int(ev.Msg[2])
	p.follow(number, value)
	if value != Rest(number) {
		p.in.take(number)
	}
	var player *Player
	if p.shaped {
		player = &p.profile.Player
	}
	if number == ccDamper && p.foot.planner != nil {
		p.foot.planner.Marked(e.now, value >= 64)
		e.moveFoot(p)
		p.foot.sent = value
	}
	switch {
	case player == nil:
		e.emit(ev, Both)
	case isOf(&player.Level, number) && p.movesLevel():
		e.emit(ev, Raw)
		if player.Incoming.Level == Multiply {
			e.sendLevel(p)
		}
	case isOf(&player.VibratoDepth, number) && p.movesVibratoDepth():
		e.emit(ev, Raw)
		e.sendVibrato(p, 0)
	case isOf(&player.Brightness, number) && p.movesBrightness():
		e.emit(ev, Raw)
		if len(p.notes) > 0 {
			_, db := p.want(e.now)
			e.sendBrightness(p, db)
		}
	default:
		e.emit(ev, Both)
		p.giveWay(number)
	}
	switch {
	case number == ccDamper:
		if p.in.pedal = value >= 64; !p.in.pedal && !p.foot.down {
			p.releaseHeld()
			e.settle(p)
		}
	case number == ccSoundOff:
		e.dropNotes(p)
		e.liftFoot(p)
		e.settle(p)
	case number == ccReset:
		e.reset(p)
	case number >= ccNotesOff:
		e.allNotesOff(p)
		e.settle(p)
	}
}

// giveWay forgets what was sent on a controller that the notation program moves from now on.
func (p *part) giveWay(number int) {
	if p.profile == nil {
		return
	}
	player := &p.profile.Player
	for _, c := range [...]struct {
		control *Control
		how     Combine
		sent    *int
	}{
		{&player.Level, player.Incoming.Level, &p.sent.level},
		{&player.VibratoDepth, player.Incoming.Vibrato, &p.sent.vibrato},
		{&player.Brightness, player.Incoming.Brightness, &p.sent.brightness},
	} {
		if isOf(c.control, number) && c.how == GiveWay && p.in.has(c.control) {
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
func (in *incoming) has(c *Control) bool {
	taken := func(n int) bool { return in.moves[n/64]>>(n%64)&1 != 0 }
	return taken(c.Number) || c.Number < 32 && taken(c.Number+32)
}

// Rest is where a controller stands in a sample player that was told nothing.
//
// Sources: RP-015 and General MIDI (expression 127, volume 100, pan 64); RP-021
// (sound controllers 70 to 79 are relative to 64); all others 0, MIDI 1.0.
func Rest(number int) int {
	switch {
	case number == 7:
		return 100
	case number == 11:
		return 127
	case number == 8, number == 10, number >= 70 && number <= 79:
		return 64
	}
	return 0
}

// isOf reports whether a controller number is c's, its LSB included.
func isOf(c *Control, number int) bool {
	return c.Has() && (number == c.Number || c.Number < 32 && number == c.Number+32)
}

// follow keeps what the notation program says, and the bend range through its
// registered parameter.
func (p *part) follow(number, value int) {
	p.in.cc[number] = int16(value)
	if lsb := number + 32; number < 32 && number != ccDataMSB && p.in.cc[lsb] != unsent {
		p.in.cc[lsb] = 0 // MIDI 1.0: the MSB resets the LSB
	}
	selected := p.in.rpnMSB == 0 && p.in.rpnLSB == 0
	switch number {
	case ccRPNMSB:
		p.in.rpnMSB = uint8(value)
	case ccRPNLSB:
		p.in.rpnLSB = uint8(value)
	case ccNRPNMSB, ccNRPNLSB:
		p.in.rpnMSB, p.in.rpnLSB = 127, 127
	case ccDataMSB:
		if selected {
			p.in.bendRange = float64(value)
		}
	case ccDataLSB:
		if selected {
			p.in.bendRange = float64(int(p.in.bendRange)) + float64(value)/100
		}
	}
}

// allNotesOff ends every note, as mode messages 123 to 127 do; the damper is
// respected.
func (e *Engine) allNotesOff(p *part) {
	e.liftFoot(p)
	if !p.in.pedal {
		e.dropNotes(p)
		return
	}
	for i := range p.notes {
		e.pay(p, i)
		p.notes[i].released = true
	}
}

// reset follows "reset all controllers", which sets expression to full and the
// vibrato depth to none in the sample player, and says ours again.
//
// Source: RP-015.
func (e *Engine) reset(p *part) {
	p.in.pedal = false
	e.liftFoot(p)
	p.foot.sent = unsent
	p.releaseHeld()
	p.in.bend = bendCentre
	p.in.rpnMSB, p.in.rpnLSB = 127, 127
	for n := range p.in.cc {
		if !KeptByReset(n) {
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

// KeptByReset reports whether "reset all controllers" leaves a controller alone:
// bank, volume, pan, sound controllers, effects depths (RP-015).
func KeptByReset(number int) bool {
	switch {
	case number == 0, number == 32, number == 7, number == 39, number == 10, number == 42:
		return true
	}
	return number >= 70 && number <= 79 || number >= 91 && number <= 95
}

// bend takes an incoming pitch bend; where the vibrato is drawn with pitch bend,
// the two are added.
func (e *Engine) bend(p *part, ev *Event) {
	p.in.bend = int(ev.Msg[2])<<7 | int(ev.Msg[1])
	if !p.shaped || !p.profile.Player.BendVibrato || p.sent.bend == unsent {
		e.emit(ev, Both)
		return
	}
	e.emit(ev, Raw)
	e.sendVibrato(p, 0)
}
