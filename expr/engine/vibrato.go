package engine

import (
	"math"
	"time"

	"swellbox/expr"
)

// vibratoFall is how fast a vibrato dies away when the next note has none yet, cents
// a second: the hand does not stop at once. Ours, not published.
const vibratoFall = 1500

// sendVibrato sends depth, rate and delay of the vibrato that sounds now, or draws
// it with pitch bend, as the player's profile asks. elapsed is the time since the last
// call of a part that moves. It reports whether the depth has further to fall.
func (e *Engine) sendVibrato(p *part, elapsed time.Duration) (falling bool) {
	latest := -1 // the latest note with vibrato sets the rate
	depth := 0.0
	for i := range p.notes {
		n := &p.notes[i]
		if n.gesture.VibratoCents > 0 && (!n.pending || i == len(p.notes)-1) { // not one that only laps over
			latest = i
			depth = max(depth, n.gesture.VibratoAt(e.now-n.on))
		}
	}
	if p.profile.Sampler.BendVibrato {
		e.bendVibrato(p, latest)
		return false
	}
	if latest >= 0 {
		e.sendManner(p, &p.notes[latest].gesture)
	}
	if !p.movesVibratoDepth() {
		return false
	}
	p.depth = max(depth, p.depth-vibratoFall*elapsed.Seconds())
	c := &p.profile.Sampler.VibratoDepth
	total := p.depth
	if v := p.in.cc[c.Number]; v != unsent && p.profile.Sampler.Incoming.Vibrato == expr.Multiply {
		total += c.Response.At(float64(v))
	}
	e.sendControl(p, c, &p.sent.vibrato, steps(c, total, p.sent.vibrato))
	return p.depth > depth
}

// sendManner sends rate and delay, where the player has controllers for them.
func (e *Engine) sendManner(p *part, g *expr.Gesture) {
	if c := &p.profile.Sampler.VibratoRate; c.Has() {
		e.sendControl(p, c, &p.sent.rate, steps(c, g.VibratoHz, p.sent.rate))
	}
	if c := &p.profile.Sampler.VibratoDelay; c.Has() {
		e.sendControl(p, c, &p.sent.delay, steps(c, float64(g.VibratoOnset.Milliseconds()), p.sent.delay))
	}
}

// bendVibrato draws the vibrato of one sounding note, or of none.
func (e *Engine) bendVibrato(p *part, note int) {
	cents := 0.0
	if note >= 0 {
		n := &p.notes[note]
		cents = n.gesture.PitchAt(e.now - n.on)
	}
	if note >= 0 || p.sent.bend != unsent {
		e.sendBend(p, p.bendFor(cents))
	}
}

// straighten brings a part that has stopped sounding back to the pitch that came in,
// by halves, so that a tail does not ring off pitch. It reports whether there is
// further to go.
func (e *Engine) straighten(p *part) (moving bool) {
	if !p.profile.Sampler.BendVibrato || p.sent.bend == unsent {
		return false
	}
	home := p.bendFor(0)
	e.sendBend(p, home+(p.sent.bend-home)/2)
	return p.sent.bend != home
}

// bendRange is the range in which the shaped side's bends are read, semitones
// each way: what the notation program set, else the profile's, else 2 (MIDI 1.0).
func (p *part) bendRange() float64 {
	switch {
	case p.in.bendRange > 0:
		return p.in.bendRange
	case p.profile.Sampler.BendRange > 0:
		return p.profile.Sampler.BendRange
	}
	return 2
}

// bendFor is the bend that adds cents to the bend that came in.
func (p *part) bendFor(cents float64) int {
	written := p.in.bendRange
	if written == 0 {
		written = 2
	}
	cents += float64(p.in.bend-expr.BendCentre) / expr.BendCentre * written * 100
	return int(min(max(math.Round(expr.BendCentre+cents/100/p.bendRange()*expr.BendCentre), 0), expr.BendMax))
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
		e.send(p, 0xB0, expr.CCRPNMSB, 0)
		e.send(p, 0xB0, expr.CCRPNLSB, 0)
		e.send(p, 0xB0, expr.CCDataMSB, byte(semitones))
		e.send(p, 0xB0, expr.CCDataLSB, byte(math.Round((p.bendRange()-semitones)*100)))
		// What the notation program had selected stays selected.
		e.send(p, 0xB0, expr.CCRPNMSB, p.in.rpnMSB)
		e.send(p, 0xB0, expr.CCRPNLSB, p.in.rpnLSB)
	}
	p.sent.bend = bend
	e.send(p, 0xE0, byte(bend&0x7F), byte(bend>>7))
}
