package perform

import (
	"bytes"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
)

// lookout is what a bypass has to give back: how far ahead was to be seen, who was on which side, and how
// each part stood.
type lookout struct {
	lookahead time.Duration
	sides     []expr.Side
	standings []engine.Standing
}

// Bypass puts an engine that shapes nothing in the place of one that failed, and switches all
// to raw. The desk stays, and with it the account of what sounds and of what the ports were
// told. What waited in the lookahead waits on; the one message with which the engine failed may
// have been the end of a note, so none is left sounding.
func (p *Performance) Bypass(now time.Duration) {
	failed := p.engine
	p.remember(failed)
	_, delay := failed.Lookahead()
	p.engine = engine.New(engine.Config{Ports: p.ports, Habits: []expr.Habit{}, Lookahead: delay})
	if delay > 0 {
		failed.Ready(now, p.desk.take)
		failed.Waiting(func(e *expr.Event) { p.engine.Push(*e) })
		for port := range p.ports {
			p.desk.endNotes(port, now)
		}
	}
	for port := range p.ports {
		if p.desk.gauges != nil {
			p.desk.gauges.silence(port) // the failed engine's shaped notes get no ends
		}
	}
	EachChannel(p.ports, func(port, channel int) { p.Switch(port, channel, expr.Raw) })
}

// remember keeps what a bypass takes away.
func (p *Performance) remember(failed *engine.Engine) {
	p.before = lookout{}
	p.before.lookahead, _ = failed.Lookahead()
	EachChannel(p.ports, func(port, channel int) {
		p.before.sides = append(p.before.sides, p.Side(port, channel))
		p.before.standings = append(p.before.standings, failed.Standing(port, channel))
	})
}

// EachChannel does something to every channel of so many ports.
func EachChannel(ports int, do func(port, channel int)) {
	for i := range ports * 16 {
		do(i/16, i%16)
	}
}

// Waits reports whether an event is the last of those that wait to sound.
func (p *Performance) Waits(e *expr.Event) (is bool) {
	p.engine.Waiting(func(w *expr.Event) {
		is = w.At == e.At && w.Port == e.Port && bytes.Equal(w.Bytes(), e.Bytes())
	})
	return is
}

// Revive undoes [Performance.Bypass]: a new engine comes in, and all parts are seated again. It
// is told what the notation program has said before, and what waits waits on. seated is called
// between the two, to load what is known of the piece.
func (s *Stage) Revive(now time.Duration, seated func()) {
	failed, e := s.engine, engine.New(s.cfg)
	failed.Ready(now, s.desk.take)
	e.SetLookahead(0)
	s.desk.retell(func(i int, status, d1, d2 byte) { e.Push(channelMessage(now, i, status, d1, d2)) })
	e.Pull(now, func(*expr.Event) {}) // the port has been told
	e.SetLookahead(s.before.lookahead)
	s.engine = e
	EachChannel(s.ports, func(port, channel int) { e.Stand(port, channel, s.before.standings[port*16+channel]) })
	for _, p := range s.Parts {
		profile, err := s.cast.of(p)
		if err == nil {
			err = s.Seat(p.Port, p.Channel, profile, p.Players)
		}
		if err != nil && s.Failed != nil {
			s.Failed(err)
		}
	}
	seated()
	failed.Waiting(func(ev *expr.Event) { e.Push(*ev) })
	EachChannel(s.ports, func(port, channel int) { s.Switch(port, channel, s.before.sides[port*16+channel]) })
}

// retell says what the raw side has been told, of every channel, and has the shaped side stand
// there as well.
func (d *desk) retell(say func(i int, status, d1, d2 byte)) {
	for i := range d.strips {
		strip := &d.strips[i]
		told := strip.said[0]
		if d.match != nil {
			told.Set(ccVolume, strip.volume)
		}
		told.Each(func(status, d1, d2 byte) { say(i, status, d1, d2) })
		strip.said[1] = strip.said[0]
		if d.match != nil {
			strip.said[1].Set(ccVolume, strip.volume)
		}
	}
}

// channelMessage is a message of a channel, by number.
func channelMessage(at time.Duration, channel int, status, d1, d2 byte) expr.Event {
	e := expr.Short(at, uint16(channel/16), status|byte(channel%16), d1, d2)
	if status == 0xC0 || status == 0xD0 {
		e.Len = 2
	}
	return e
}
