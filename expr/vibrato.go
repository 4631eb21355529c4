package expr

import "math"

// sendVibrato sends depth, rate and delay of the vibrato that sounds now, or draws
// it with pitch bend, as the player's profile asks.
func (e *Engine) sendVibrato(p *part) {
	player := &p.profile.Player
	latest := -1 // the latest note with vibrato sets the rate
	depth := 0.0
	for i := range p.notes {
		n := &p.notes[i]
		if n.gesture.VibratoCents > 0 {
			latest = i
			depth = max(depth, n.gesture.VibratoAt(e.now-n.on))
		}
	}
	if player.BendVibrato {
		cents := 0.0
		if latest >= 0 {
			n := &p.notes[latest]
			cents = n.gesture.PitchAt(e.now - n.on)
		}
		if latest >= 0 || p.sent.bend != unsent {
			e.sendBend(p, p.bendFor(cents))
		}
		return
	}
	if latest >= 0 && player.VibratoRate.Has() {
		c, hz := &player.VibratoRate, p.notes[latest].gesture.VibratoHz
		e.sendControl(p, c, &p.sent.rate, steps(c, hz, p.sent.rate))
	}
	if latest >= 0 && player.VibratoDelay.Has() {
		c, ms := &player.VibratoDelay, float64(p.notes[latest].gesture.VibratoOnset.Milliseconds())
		e.sendControl(p, c, &p.sent.delay, steps(c, ms, p.sent.delay))
	}
	if !p.profile.movesVibratoDepth() {
		return
	}
	c := &player.VibratoDepth
	if v := p.in.cc[c.Number]; v != unsent && player.Incoming.Vibrato == Multiply {
		depth += c.Response.At(float64(v))
	}
	e.sendControl(p, c, &p.sent.vibrato, steps(c, depth, p.sent.vibrato))
}

// movesVibratoDepth reports whether the vibrato depth controller is ours to move.
func (p *Profile) movesVibratoDepth() bool {
	return p.Player.VibratoDepth.Has() && !p.Player.BendVibrato &&
		p.Player.Incoming.Vibrato != Leave && p.Vibrato.K != 0
}

// bendRange is the range in which the shaped side's bends are read, semitones
// each way: what the notation program set, else the profile's, else 2 (MIDI 1.0).
func (p *part) bendRange() float64 {
	switch {
	case p.in.bendRange > 0:
		return p.in.bendRange
	case p.profile.Player.BendRange > 0:
		return p.profile.Player.BendRange
	}
	return 2
}

// bendFor is the bend that adds cents to the bend that came in.
func (p *part) bendFor(cents float64) int {
	written := p.in.bendRange
	if written == 0 {
		written = 2
	}
	cents += float64(p.in.bend-bendCentre) / bendCentre * written * 100
	return int(min(max(math.Round(bendCentre+cents/100/p.bendRange()*bendCentre), 0), bendMax))
}

// sendBend sends a bend on the shaped side if it has changed, and before the
// first one the range in which it is meant, unless the notation program has set that.
func (e *Engine) sendBend(p *part, bend int) {
	if bend == p.sent.bend {
		return
	}
	if !p.sent.range_ && p.in.bendRange == 0 {
		p.sent.range_ = true
		semitones := math.Floor(p.bendRange())
		e.send(p, 0xB0, ccRPNMSB, 0)
		e.send(p, 0xB0, ccRPNLSB, 0)
		e.send(p, 0xB0, ccDataMSB, byte(semitones))
		e.send(p, 0xB0, ccDataLSB, byte(math.Round((p.bendRange()-semitones)*100)))
		// What the notation program had selected stays selected.
		e.send(p, 0xB0, ccRPNMSB, p.in.rpnMSB)
		e.send(p, 0xB0, ccRPNLSB, p.in.rpnLSB)
	}
	p.sent.bend = bend
	e.send(p, 0xE0, byte(bend&0x7F), byte(bend>>7))
}
