package perform

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
)

// Performance is an engine and the desk behind it: input events go in, the
// messages for the ports come out. Like the engine it is driven and has no
// clock, and its methods must not be called concurrently.
type Performance struct {
	cfg    engine.Config
	engine *engine.Engine
	desk   *desk
	ports  int
	now    time.Duration
	before lookout // what a bypass took away

	// Overtakes has Push not wait for what other parts owe: for who plays in real time.
	Overtakes bool
}

// NewPerformance makes a performance that hands each outgoing message to emit,
// in the order of time. The event is emit's to read until it returns. All
// channels start on the shaped side.
func NewPerformance(cfg engine.Config, emit func(*expr.Event)) *Performance {
	ports := max(cfg.Ports, 1)
	return &Performance{cfg: cfg, engine: engine.New(cfg), desk: newDesk(ports, emit), ports: ports}
}

// Engine is the engine inside, for seating and counts.
func (p *Performance) Engine() *engine.Engine { return p.engine }

// Seat gives a channel its profile; see [engine.Engine.Seat].
func (p *Performance) Seat(port, channel int, profile *expr.Profile, players int) error {
	if err := p.engine.Seat(port, channel, profile, players); err != nil {
		return err
	}
	if profile != nil && profile.Sampler.Measured != nil {
		p.desk.colours.of(profile.Instrument) // so that nothing waits for them where levels are matched while music plays
	}
	if p.desk.match != nil {
		p.desk.match.seat(port, channel, profile)
	}
	if p.desk.gauges != nil {
		p.desk.gauges.seat(port, channel, profile)
	}
	s := &p.desk.strips[port*16+channel]
	s.level = expr.Unknown
	if profile != nil && profile.Sampler.Level.Has() {
		s.level = profile.Sampler.Level.Number
	}
	return nil
}

// Push takes one input event; see [engine.Engine.Push]. What it causes at its own
// time is emitted by Pull.
//
// A performance that overtakes has emitted that when Push returns, and what other parts owe by then
// is left for Pull to emit; see [engine.Engine.Overtake]. A step of a switch that is due is taken
// before, so that it stands in the same place among a part's notes however late it comes.
func (p *Performance) Push(e expr.Event) {
	step, ramping := p.desk.next()
	if !p.Overtakes || ramping && step <= e.At || !p.engine.Overtake(e) {
		p.Pull(e.At)
		p.engine.Push(e)
	}
	if p.Overtakes {
		p.engine.Ready(e.At, p.desk.take)
	}
}

// Pull emits what is due at or before until.
func (p *Performance) Pull(until time.Duration) {
	if p.desk.match == nil && p.desk.ramps == 0 { // the desk does nothing of its own meanwhile
		p.engine.Pull(until, p.desk.take)
		p.now = max(p.now, until)
		return
	}
	p.PullWhile(until, nil)
}

// PullWhile is Pull, but looks up between one thing that is due and the next, and stops where more
// says so; nil never does. It reports whether all is done.
func (p *Performance) PullWhile(until time.Duration, more func() bool) (done bool) {
	for {
		t, due := p.engine.Next()
		r, ramping := p.desk.next()
		ramping = ramping && r <= until && (!due || r < t)
		if !ramping && (!due || t > until) {
			break
		}
		if more != nil && !more() {
			return false
		}
		if ramping {
			p.desk.advance()
		} else {
			p.engine.Pull(t, p.desk.take)
		}
	}
	p.engine.Pull(until, p.desk.take)
	p.now = max(p.now, until)
	return true
}

// Next is the time of the next message that needs no further input, and false if
// there is none.
func (p *Performance) Next() (time.Duration, bool) {
	t, due := p.engine.Next()
	if r, ramping := p.desk.next(); ramping && (!due || r < t) {
		return r, true
	}
	return t, due
}

// Switch chooses which side of a channel reaches its port, from now on. Sounding
// notes keep their own note-off; levels move by at most 1 dB a millisecond.
func (p *Performance) Switch(port, channel int, side expr.Side) {
	p.desk.choose(port*16+channel, side, p.now)
}

// SetPlace has a channel stand as in a hall or a studio; see [engine.Engine.Stand].
func (p *Performance) SetPlace(port, channel int, place expr.Place) {
	s := p.engine.Standing(port, channel)
	s.Place = place
	p.engine.Stand(port, channel, s)
}

// MatchLevels lowers the raw side, by channel volume, so that louder does not pass for better
// when the sides are compared: by so many dB at first, and then by as much as the raw side is
// louder by ITU-R BS.1770, modelled over what has been played. It is called before anything is
// played. Nothing is raised by it.
func (p *Performance) MatchLevels(db float64) { p.desk.matchLevels(db) }

// MatchedDB is by how much the raw side is lowered now; 0 if it is not matched.
func (p *Performance) MatchedDB() float64 { return p.desk.matchDB }

// Side is the side of a channel that reaches its port.
func (p *Performance) Side(port, channel int) expr.Side { return p.desk.strips[port*16+channel].side }

// Sounding is how many notes a channel has out.
func (p *Performance) Sounding(port, channel int) int { return p.desk.sounding(port*16 + channel) }

// EndNotes ends every note that is out.
func (p *Performance) EndNotes() {
	for port := range p.ports {
		p.EndNotesOf(port)
	}
}

// EndNotesOf ends the notes that are out on one port, and drops those that wait in the
// lookahead.
func (p *Performance) EndNotesOf(port int) {
	p.silence(port)
	p.desk.endNotes(port, p.now)
}

// silence has the engine forget the notes of a port. What else waited there has been said
// when it returns, so that what the desk says next stays said.
func (p *Performance) silence(port int) {
	p.engine.Silence(port)
	p.engine.Pull(p.now, p.desk.take)
}

// Release ends the notes that are out on one port and lifts its pedals, for an
// input that is gone.
func (p *Performance) Release(port int) {
	p.EndNotesOf(port)
	p.desk.liftPedals(port, p.now)
}

// AllNotesOff tells one port's sampler to end what it sounds, for one that may
// have missed note-offs; the account of what is out stays as it is.
func (p *Performance) AllNotesOff(port int) {
	for i := port * 16; i < port*16+16; i++ {
		p.desk.say(i, p.now, 0xB0, ccNotesOff, 0)
	}
}

// Panic silences every port by every means there is: note-offs, pedals, all notes
// off and all sound off.
func (p *Performance) Panic() {
	for port := range p.ports {
		p.silence(port)
		p.desk.panic(port, p.now)
	}
}

// Leave ends all notes, lifts the pedals and begins to bring every port to its raw
// state; the caller pulls until Left reports that this is done.
func (p *Performance) Leave() {
	for port := range p.ports {
		p.silence(port)
		p.desk.leave(port, p.now)
	}
}

// Left reports whether all that Leave began is done.
func (p *Performance) Left() bool { return p.desk.ramps == 0 }

// Restore says again what a port's sampler had been told, for one that was
// away.
func (p *Performance) Restore(port int) {
	p.desk.restore(port, p.now)
}
