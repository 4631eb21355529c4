package engine

import (
	"math"
	"time"

	"swellbox/expr"
)

const (
	// slewDBPerS bounds how fast the level moves when a loud note ends and leaves
	// softer ones sounding, so that it is a fall and not a click.
	slewDBPerS = 250

	// lowestDB is how far the level controller goes down; what lies deeper is left
	// to the velocity.
	lowestDB = -40
)

// noteOn shapes a note and emits what it needs before it, then the note.
func (e *Engine) noteOn(p *part, ev *expr.Event, tone int64) {
	p.counts.Notes++
	e.takeNext(p)
	if !p.shaped {
		e.emit(ev, expr.Both)
		return
	}
	key, velocity := ev.Msg[1], ev.Msg[2]
	sampler := &p.profile.Sampler
	e.note = expr.Note{
		Profile: p.profile, Players: p.players, On: e.now, Key: key, Velocity: velocity,
		WrittenDB: p.profile.Dynamics.Reading.At(float64(velocity)),
		RawDB:     p.rawLaw.At(float64(velocity)),
		MfDB:      p.mfDB,
	}
	e.perceive(p, ev, tone)
	if !e.apply(p) {
		e.bypass(p)
		e.emit(ev, expr.Both)
		return
	}
	e.makeWay(p, key, tone)
	s := sounding{gesture: e.gesture, on: e.now, key: key, source: ev.Source, tone: tone, ceilingDB: e.cfg.CeilingDB}
	if sampler.Velocity != nil {
		s.ceilingDB += e.note.RawDB
	}
	out := e.carry(p, &s, velocity)
	e.outgrow(p, &s)
	e.hold(p, s)
	level, brightness := p.want(e.now)
	if p.movesLevel() {
		p.levelDB = level
	}
	e.sendLevel(p)
	e.sendBrightness(p, brightness)
	if len(p.notes) == 1 && !e.note.Slurred {
		p.depth = 0 // a new start is straight from its first moment
	}
	e.sendVibrato(p, 0)
	if out == velocity {
		e.emit(ev, expr.Both)
	} else {
		played := *ev
		played.Msg[2] = out
		e.emit(ev, expr.Raw)
		e.emit(&played, expr.Shaped)
	}
	e.wake(p)
	e.hearPedal(p, &e.note, tone)
}

// carry splits the note's level between its velocity, which it returns, and the
// level controller, which gets the rest.
//
// Alone, a note gets the split that its profile asks for. So does one that takes
// over from another under a slur, as that one is about to end: the line keeps its
// velocity and moves by its controller. Where several voices sound, the controller
// stays where they need it, as far as the new note's velocity can make up the
// difference; a difference that nobody hears is given to the controller, so that it
// cannot drift from note to note.
func (e *Engine) carry(p *part, s *sounding, velocity uint8) uint8 {
	sampler := &p.profile.Sampler
	if sampler.Velocity == nil {
		return velocity // carriedDB stays 0: the controller carries it all
	}
	weight := p.weightDB(&s.gesture)
	target := min(p.mfDB+s.gesture.LevelAt(0)+weight, s.ceilingDB)
	out := nearestVelocity(sampler.Velocity, target)
	if p.movesLevel() {
		control := e.alone(p, target, weight)
		if p.leaves() && math.Abs(control-p.levelDB) > unheardDB {
			control = p.levelDB
		}
		out = nearestVelocity(sampler.Velocity, target-control)
	}
	s.carriedDB = sampler.Velocity.At(float64(out))
	return out
}

// unheardDB is the most by which a sounding note may be moved for another's sake.
//
// Source: the just noticeable difference of level, about 1 dB at middle levels
// (Slade et al. 2022 find 0.68 to 1.22 dB for piano tones).
const unheardDB = 1

// alone is what the level controller adds, dB, for a note at a level if nothing
// else sounds. Where the velocity carries the dynamics, the controller carries the
// part's weight among others: how far away it seems is no matter of its stroke.
func (e *Engine) alone(p *part, target, weight float64) float64 {
	if p.profile.Dynamics.Carrier != expr.CarryController {
		return min(max(weight-e.cfg.HeadroomDB, lowestDB), 0)
	}
	return min(max(target-p.profile.Sampler.Velocity.At(float64(p.fixedVel)), lowestDB), 0)
}

func nearestVelocity(c *expr.Curve, db float64) uint8 {
	return uint8(min(max(math.Round(c.Invert(db)), 1), 127))
}

// settle follows the end of a note: what still sounds moves to where it wants to be,
// and where nothing does, the way of playing that waits is taken up.
func (e *Engine) settle(p *part) {
	if len(p.notes) == 0 {
		e.takeNext(p)
	}
	if len(p.notes) > 0 || p.sent.bend != unsent {
		e.wake(p)
	}
}

// move brings the controllers of a part to where its sounding notes want them
// now, and reports whether any of them still moves.
func (e *Engine) move(p *part) (moving bool) {
	if !p.shaped {
		return e.moveBack(p)
	}
	if len(p.notes) == 0 {
		return e.straighten(p)
	}
	p.line.Listen(e.now)
	level, brightness := p.want(e.now)
	if p.movesLevel() && p.profile.Dynamics.Carrier != expr.CarryVelocity {
		moving = p.slewTo(level, e.period(p))
		e.sendLevel(p)
	}
	e.sendBrightness(p, brightness)
	if e.sendVibrato(p, e.period(p)) {
		moving = true
	}
	for i := range p.notes {
		n := &p.notes[i]
		swings := p.profile.Sampler.BendVibrato && n.gesture.VibratoCents > 0
		moving = moving || swings || e.now-n.on < n.gesture.Settled()
	}
	return moving
}

// slewTo moves the level towards a target as far as a period allows, and reports
// whether it has further to go.
func (p *part) slewTo(target float64, period time.Duration) bool {
	step := slewDBPerS * period.Seconds()
	p.levelDB += min(max(target-p.levelDB, -step), step)
	return p.levelDB != target
}

// bypass makes a part raw and gives its controllers back to what came in, the
// level gradually.
func (e *Engine) bypass(p *part) {
	if !p.shaped {
		return
	}
	p.shaped, p.capDB = false, 0
	sampler := &p.profile.Sampler
	if p.sent.vibrato != unsent {
		c := &sampler.VibratoDepth
		e.sendControl(p, c, &p.sent.vibrato, p.incomingSteps(c))
	}
	e.bypassRest(p)
	e.dropNotes(p)
	if p.sent.level != unsent {
		e.wake(p)
	}
}

// bypassRest gives back what nobody but the profile moves.
func (e *Engine) bypassRest(p *part) {
	e.givePedalBack(p)
	c := &p.profile.Sampler.Brightness
	switch {
	case p.sent.brightness == unsent:
	case p.in.cc[c.Number] != unsent:
		e.sendControl(p, c, &p.sent.brightness, p.incomingSteps(c))
	default:
		e.sendControl(p, c, &p.sent.brightness, steps(c, 0, p.sent.brightness))
	}
	if p.sent.bend != unsent {
		e.sendBend(p, p.in.bend)
	}
}

// moveBack is the gradual part of bypass.
func (e *Engine) moveBack(p *part) (moving bool) {
	if p.sent.level == unsent {
		return false
	}
	moving = p.slewTo(0, e.period(p))
	e.sendLevel(p)
	return moving
}

// handOver prepares a part for another profile: what both profiles move on the
// same controllers stays where it is until the next note, the rest goes back to
// what came in.
func (e *Engine) handOver(p *part, next *expr.Profile) {
	if p.profile == nil {
		return
	}
	was, will := &p.profile.Sampler, &next.Sampler
	if p.shaped {
		e.bypassRest(p)
		if c := &was.VibratoDepth; p.sent.vibrato != unsent && !(vibrates(next) && p.movesDepthBy(will) && c.Number == will.VibratoDepth.Number) {
			e.sendControl(p, c, &p.sent.vibrato, p.incomingSteps(c))
		}
	}
	if was.Level.Number != will.Level.Number || was.Level.Fine != will.Level.Fine {
		p.levelDB = 0
		if p.sent.level != unsent {
			e.sendLevel(p)
		}
	}
	keep := p.sent.level
	p.sent = nothingSent
	p.sent.level = keep
}

// sendLevel sends the level controller if it has changed: what we add and what
// came in, summed in dB.
func (e *Engine) sendLevel(p *part) {
	if !p.movesLevel() {
		return
	}
	c := &p.profile.Sampler.Level
	incoming := p.incomingLevelDB()
	value := steps(c, p.levelDB+incoming, p.sent.level)
	if value > 0 && !c.Fine && c.Response.At(float64(value)) > p.capDB+incoming {
		value-- // rounded up past the ceiling
	}
	e.sendControl(p, c, &p.sent.level, value)
}

// incomingLevelDB is what the notation program's own moves of the level
// controller add, dB: 0 until it makes one.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func (p *part) incomingLevelDB() float64 {
	c := &p.profile.Sampler.Level
	msb := p.in.cc[c.Number]
	if msb == unsent || p.profile.Sampler.Incoming.Level != expr.Multiply {
		return 0
	}
	v := float64(msb)
	if c.Number < 32 && p.in.cc[c.Number+32] > 0 {
		v = float64(int(msb)<<7|int(p.in.cc[c.Number+32])) / expr.BendMax * 127
	}
	return standardLaw.At(v)
}

func (e *Engine) sendBrightness(p *part, db float64) {
	if !p.movesBrightness() {
		return
	}
	c := &p.profile.Sampler.Brightness
	if v := p.in.cc[c.Number]; v != unsent && p.profile.Sampler.Incoming.Brightness == expr.Multiply {
		db += c.Response.At(float64(v))
	}
	e.sendControl(p, c, &p.sent.brightness, steps(c, db, p.sent.brightness))
}

// sendControl sends a controller in its own steps, if it has changed.
func (e *Engine) sendControl(p *part, c *expr.Control, last *int, value int) {
	if value == *last {
		return
	}
	if !c.Fine {
		e.send(p, 0xB0, byte(c.Number), byte(value))
	} else {
		if *last == unsent || value>>7 != *last>>7 {
			e.send(p, 0xB0, byte(c.Number), byte(value>>7))
		}
		e.send(p, 0xB0, byte(c.Number+32), byte(value&0x7F))
	}
	*last = value
}

// steps is the controller's own number for a physical value. It looks first where
// the controller stands, as most movements are slower than its steps.
func steps(c *expr.Control, physical float64, last int) int {
	if c.Fine {
		return int(math.Round(c.Response.Invert(physical) / 127 * expr.BendMax))
	}
	if last != unsent && c.Response.NearestIs(last, physical) {
		return last
	}
	return int(math.Round(c.Response.Invert(physical)))
}

// incomingSteps is where the notation program has a controller, in the controller's
// own steps; 0 if it has said nothing.
func (p *part) incomingSteps(c *expr.Control) int {
	v := int(max(p.in.cc[c.Number], 0))
	if c.Fine {
		return v<<7 | int(max(p.in.cc[c.Number+32], 0))
	}
	return v
}
