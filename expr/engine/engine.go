package engine

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/hearing"
)

// Engine shapes one performance. Its methods must not be called concurrently.
type Engine struct{ conductor }

// New makes an engine whose channels all play raw until they are seated.
// The headroom and the ceiling are taken as they are, 0 included: see
// [expr.DefaultHeadroomDB] and [expr.DefaultCeilingDB].
func New(cfg Config) *Engine {
	cfg.Ports = max(cfg.Ports, 1)
	n := cfg.Ports * 16
	e := &Engine{conductor{ensemble: newEnsemble(cfg, n), parts: make([]part, n), sequence: sequence{trial: cfg.Trial}}}
	for i := range e.parts {
		e.parts[i].init(&e.ensemble, i)
	}
	e.time.init(&e.ensemble, n)
	if cfg.Auditions {
		e.sequence.transport = beat.NewTransport(cfg.Ports)
	}
	e.SetLookahead(cfg.Lookahead)
	return e
}

// Seat gives a channel its profile and number of players (0: as many as the
// profile's sound stands for). It takes effect after what has come in so far: at once
// where nothing sounds, else with the next note, so that no sounding note changes. A nil profile, or one whose
// habits are all off, makes the channel raw: the controllers that the former profile
// moved go back to what came in. Port and channel count from 0; a channel that the
// engine does not have is an error.
func (e *Engine) Seat(port, channel int, profile *expr.Profile, players int) error {
	if !e.has(port, channel) {
		return fmt.Errorf("no channel %d on port %d: the engine has %d ports of 16 channels", channel+1, port+1, e.cfg.Ports)
	}
	s := &seating{part: int32(port*16 + channel), profile: profile, players: players}
	if profile != nil && players == 0 {
		s.players = profile.Players
	}
	if e.ahead.n > 0 {
		e.ahead.put(&waiting{due: e.now + e.delay.of(e.now), seating: s})
	} else {
		e.parts[s.part].take(s)
	}
	return nil
}

// Push takes one input event. Events are pushed in the order of their times; one
// that comes late is taken as of the latest time that was pushed or pulled. Without
// lookahead, all that the event causes at its own time is ready to pull when Push returns.
func (e *Engine) Push(ev expr.Event) {
	e.Reflect()
	e.advance(ev.At)
	ev.At = e.now
	ahead := e.cfg.Lookahead
	unnoticed := ahead > 0 && e.idle()
	tone := e.hear(&ev)
	state := e.sequence.take(&ev) // also without lookahead, which may be asked for while music plays
	d := time.Duration(0)
	if ahead > 0 || e.delay.of(ev.At) > 0 {
		if state == beat.Stands {
			ahead = 0
		}
		e.delay.meet(ev.At, ahead, unnoticed)
		d = e.delay.of(ev.At)
	}
	if d == 0 && e.ahead.n == 0 && e.awaited == 0 {
		e.play(&ev, tone, expr.Both)
		return
	}
	e.ahead.put(&waiting{ev: ev, due: ev.At + d, tone: tone})
	e.advance(ev.At)
}

// Pull hands every event due at or before until to emit, in the order in which it came to be. The event is
// emit's to read until it returns; emit must not call the engine. Time never
// runs back: an earlier until than before gives nothing new.
func (e *Engine) Pull(until time.Duration, emit func(*expr.Event)) {
	e.advance(until)
	e.Ready(until, emit)
}

// Ready hands what was found to be due at or before until to emit, as Pull does, and has
// nothing more happen: it is for an engine that has failed.
func (e *Engine) Ready(until time.Duration, emit func(*expr.Event)) {
	for ev, due := e.first(); due && ev.At <= until; ev, due = e.first() {
		emit(ev)
		e.output.queue.drop()
	}
}

// Next is the time of the next event or movement that needs no further input,
// and false if there is none.
func (e *Engine) Next() (time.Duration, bool) {
	t, found := e.next(e.time.most())
	if ev, due := e.first(); due && (!found || ev.At < t) {
		return ev.At, true
	}
	return t, found
}

// Reflect thinks about what came in last: its beat and its harmony, which matter to what
// comes next. A caller to whom the time matters in which a message passes calls it
// when the message has left; else the next Push does so, and the result is the same.
func (e *Engine) Reflect() { e.listener.Reflect() }

// Silence forgets the sounding notes of a port and those that wait to sound, for when
// the caller has ended them by itself: a panic, a lost input. What else of the port waits
// comes at once, so that no pedal goes down when its notes are gone.
func (e *Engine) Silence(port int) {
	e.hurry(uint16(port))
	e.listener.SilenceAll()
	for i := port * 16; i < port*16+16; i++ {
		e.parts[i].silence()
	}
}

// SetLookahead has all that comes in from now on sound later by so much, within 0
// and MaxLookahead. While something plays, the delay glides there at a
// quarter of a second each second, so that nothing clicks, and no order changes.
func (e *Engine) SetLookahead(l time.Duration) {
	e.cfg.Lookahead = min(max(l, 0), MaxLookahead)
	e.listener.HearAhead(e.cfg.Lookahead)
	e.delay.set(e.now, e.cfg.Lookahead, e.idle())
	e.time.planRubato()
}

// Lookahead is the delay that was asked for, and the one that what comes in now has.
func (e *Engine) Lookahead() (asked, now time.Duration) { return e.cfg.Lookahead, e.delay.of(e.now) }

// Load has the engine know a score: a note-on whose Note is set is played as one who
// has read what follows plays it. Nil: no score. The score is read at once, which takes about
// a microsecond a note, and must not be changed afterwards.
func (e *Engine) Load(s *expr.Score) {
	e.ahead.forget()
	e.listener.Load(s)
	e.sequence.retry(e.cfg.Ports)
	e.time.fault = nil
	e.time.planRubato()
}

// Retry has all that failed be tried again, as for another piece: parts that fell back to raw
// play as they are seated, and what was lost is found out anew.
func (e *Engine) Retry() {
	e.listener.Retry()
	e.sequence.retry(e.cfg.Ports)
	e.time.fault = nil
	e.time.planRubato()
	for i := range e.parts {
		p := &e.parts[i]
		raw := p.fault != nil
		p.forgive()
		if raw {
			p.tryPrepare()
		}
	}
}

// SetPace tells the engine how much faster than the score's written tempo the music
// goes: 1 as written. Other paces than 1/8 to 8 are taken as the nearest of these.
func (e *Engine) SetPace(pace float64) { e.listener.Score.SetPace(pace) }

// Stand has a channel stand so from now on. What sounds moves there gradually, by its level
// controller; what is carried by velocity follows with its next note. A channel that the engine
// does not have is left alone.
func (e *Engine) Stand(port, channel int, s Standing) {
	if e.has(port, channel) {
		s.SeatDB = min(max(s.SeatDB, -MaxSeatDB), MaxSeatDB)
		e.parts[port*16+channel].stand(s)
	}
}

// Expect tells the engine beforehand that the notation program will move a controller of a
// channel, so that what gives way to it does so from the start. A channel or controller that does
// not exist is passed over.
func (e *Engine) Expect(port, channel, number int) {
	if e.has(port, channel) && number >= 0 && number < 128 {
		e.parts[port*16+channel].sampler.in.take(number)
	}
}

// Standing is how a channel stands.
func (e *Engine) Standing(port, channel int) Standing {
	return e.parts[port*16+channel].sampler.standing
}

// HabitNames lists the names of the engine's habits as on the command line, in order.
func (e *Engine) HabitNames() []string {
	names := make([]string, len(e.abouts))
	for i, about := range e.abouts {
		names[i] = about.Flag()
	}
	return names
}

// Counts returns what happened on a channel so far, and where it is in its phrase. Habits shares
// memory with the engine.
func (e *Engine) Counts(port, channel int) Counts {
	p := &e.parts[port*16+channel]
	c := p.counts
	if p.sampler.shaped {
		c.PhraseSince, c.PhraseUntil = p.shaping.phrase(e.now)
	} else {
		c.PhraseSince, c.PhraseUntil = expr.Unknown, expr.Unknown
	}
	return c
}

// Beat tells where the beat of what comes in now is.
func (e *Engine) Beat() hearing.Beat { return e.listener.Beat(e.now) }

// Transport says whether the sequence that comes in runs, and by what that is told. It
// always runs where the engine was not asked to find out.
func (e *Engine) Transport() (beat.State, beat.Reason) { return e.sequence.state(e.now) }

// Tune tells which channel, port*16+channel, has the tune of what came in, and how much it stands
// out among all, 0 to 1; -1 where that is not known.
func (e *Engine) Tune() (channel int, salience float64) { return e.listener.Tune(e.now) }

// Waiting hands the input that waits to sound to see, in the order in which it came in and
// with the times at which it did: what another engine needs that is to go on in this one's place.
func (e *Engine) Waiting(see func(*expr.Event)) {
	for i := range e.ahead.n {
		if w := e.ahead.at(i); w.seating == nil {
			see(&w.ev)
		}
	}
}

// PlayedOut is when all that has come in so far will have sounded, and all notes will have
// ended whose end has come in.
func (e *Engine) PlayedOut() time.Duration { return e.playedOut(e.time.most()) }

// Fault returns what failed of a channel, or nil: why it fell back to raw, and which
// knowledge of it is lost.
func (e *Engine) Fault(port, channel int) error { return e.parts[port*16+channel].lost() }

// Raw reports whether a channel has fallen back to raw.
func (e *Engine) Raw(port, channel int) bool { return e.parts[port*16+channel].fault != nil }

// Lost returns which knowledge of all parts is lost, or nil.
func (e *Engine) Lost() error {
	return expr.InOne(e.listener.Lost(), e.sequence.fault, e.time.fault)
}
