package engine

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/hearing"
)

// Engine shapes one performance. Its methods must not be called concurrently.
type Engine struct {
	cfg    Config
	habits []expr.Habit
	abouts []*expr.About // of the habits
	parts  []part        // port*16 + channel
	schedule
	timekeeping
	sides expr.Side // for which the event in hand is played
	said  expr.Side // on which it has come out

	listener *hearing.Listener
	pedalled expr.Pedaller // nil: nobody pedals where no pedal is written

	// The note being shaped. They live here because a habit is called through an
	// interface, and what it is lent must not cost an allocation a note.
	note    expr.Note
	gesture expr.Gesture
}

// New makes an engine whose channels all play raw until they are seated.
// The headroom and the ceiling are taken as they are, 0 included: see
// [expr.DefaultHeadroomDB] and [expr.DefaultCeilingDB].
func New(cfg Config) *Engine {
	cfg.Ports = max(cfg.Ports, 1)
	if cfg.Sides == 0 {
		cfg.Sides = expr.Both
	}
	if cfg.ControlPeriod <= 0 {
		cfg.ControlPeriod = DefaultControlPeriod
	}
	e := &Engine{cfg: cfg, habits: cfg.Habits, abouts: abouts(cfg.Habits), parts: make([]part, cfg.Ports*16), sides: expr.Both}
	e.plan = standstill
	e.listener = hearing.NewListener(len(e.parts), cfg.Trial)
	for i := range e.parts {
		e.parts[i].init(i, len(e.habits), e.listener.Line(i))
		e.parts[i].place = cfg.Place
	}
	e.keepTime()
	if cfg.Auditions {
		e.transport = beat.NewTransport(cfg.Ports)
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
	if port < 0 || port >= e.cfg.Ports || channel < 0 || channel > 15 {
		return fmt.Errorf("no channel %d on port %d: the engine has %d ports of 16 channels", channel+1, port+1, e.cfg.Ports)
	}
	s := &seat{part: int32(port*16 + channel), profile: profile, players: players}
	if profile != nil && players == 0 {
		s.players = profile.Players
	}
	if e.ahead.n > 0 {
		e.ahead.put(&waiting{due: e.now + e.delay.of(e.now), seat: s})
	} else {
		e.takeSeat(s)
	}
	return nil
}

func (e *Engine) takeSeat(s *seat) {
	p := &e.parts[s.part]
	e.forgive(p)
	defer e.rescue(p, nil)
	p.seated, p.players = s.profile, s.players
	e.prepare(p, s.profile)
}

// prepare has a part play by a profile from its next silence or note on.
func (e *Engine) prepare(p *part, profile *expr.Profile) {
	if profile == nil || !profile.Amounts.Any() || len(e.habits) == 0 {
		p.next = nil
		e.bypass(p)
		return
	}
	p.next = profile
	if profile.Touches() {
		e.listener.FollowTouch(int(p.index))
	}
	if p.changesWay() {
		e.endDrawn(p, func(*sounding) bool { return true })
	}
	if len(p.notes) == 0 {
		e.takeNext(p)
	}
}

// preparer is a habit that has work to do for a profile before its first note.
type preparer interface{ Prepare(*expr.Profile) }

// takeNext takes up the way of playing that waits, if one does.
func (e *Engine) takeNext(p *part) {
	if next := p.next; next != nil {
		p.next = nil
		for _, r := range e.habits {
			if r, ok := r.(preparer); ok {
				r.Prepare(next)
			}
		}
		e.handOver(p, next)
		p.adopt(next, e.cfg.HeadroomDB)
		for i, about := range e.abouts {
			p.amounts[i] = next.Amounts.Of(about.Key)
		}
		e.takePedal(p)
	}
}

// Push takes one input event. Events are pushed in the order of their times; one
// that comes late is taken as of the latest time that was pushed or pulled. Without
// lookahead, all that the event causes at its own time is ready to pull when Push returns.
func (e *Engine) Push(ev expr.Event) {
	e.Reflect()
	e.advance(ev.At)
	ev.At = e.now
	idle := e.cfg.Lookahead > 0 && e.idle()
	tone := e.hear(&ev)
	state := e.takeTransport(&ev) // also without lookahead, which may be asked for while music plays
	d := time.Duration(0)
	if e.cfg.Lookahead > 0 || e.delay.of(ev.At) > 0 {
		d = e.delayOf(&ev, idle, state)
	}
	if d == 0 && e.ahead.n == 0 && e.awaited == 0 {
		e.play(&ev, tone)
		return
	}
	e.ahead.put(&waiting{ev: ev, due: ev.At + d, tone: tone})
	e.advance(ev.At)
}

// play plays one event now, for the sides in hand.
func (e *Engine) play(ev *expr.Event, tone int64) {
	ev.At = e.now
	e.cfg.Trial.Of(expr.OfAll)
	if !ev.IsChannel() || int(ev.Port) >= e.cfg.Ports {
		e.clocked = e.clocked || ev.Len == 1 && ev.Msg[0] == expr.TimingClock
		e.emit(ev, expr.Both)
		return
	}
	p := &e.parts[int(ev.Port)*16+ev.Channel()]
	p.source = ev.Source
	e.said = 0
	defer e.rescue(p, ev)
	if v := p.variantFor(ev); v != nil {
		e.prepare(p, v)
		e.emit(ev, expr.Both)
		return
	}
	switch {
	case ev.IsNoteOn() && e.passes(p, tone):
		p.counts.Passed++
		e.emit(ev, expr.Both)
	case ev.IsNoteOn():
		e.noteOn(p, ev, tone)
	case ev.IsNoteOff():
		e.noteOff(p, ev, tone)
	case ev.Len == 3 && ev.Msg[0]&0xF0 == 0xB0:
		e.control(p, ev)
	case ev.Len == 3 && ev.Msg[0]&0xF0 == 0xE0:
		e.bend(p, ev)
	default:
		e.emit(ev, expr.Both)
	}
}

// Pull hands every event due at or before until to emit, in order. The event is
// emit's to read until it returns; emit must not call the engine. Time never
// runs back: an earlier until than before gives nothing new.
func (e *Engine) Pull(until time.Duration, emit func(*expr.Event)) {
	e.advance(until)
	e.Ready(until, emit)
}

// Ready hands what was found to be due at or before until to emit, as Pull does, and has
// nothing more happen: it is for an engine that has failed.
func (e *Engine) Ready(until time.Duration, emit func(*expr.Event)) {
	for e.queue.n > 0 && e.queue.first().At <= until {
		emit(e.queue.first())
		e.queue.drop()
	}
}

// Next is the time of the next event or movement that needs no further input,
// and false if there is none.
func (e *Engine) Next() (time.Duration, bool) {
	t, found := e.nextWork()
	if e.queue.n > 0 && (!found || e.queue.first().At < t) {
		return e.queue.first().At, true
	}
	return t, found
}

// nextWork is when the engine has something to do that is not yet an event.
func (e *Engine) nextWork() (t time.Duration, found bool) {
	if len(e.wakes) > 0 {
		t, found = e.wakes[0].at, true
	}
	if len(e.later) > 0 && (!found || e.later[0].at < t) {
		t, found = e.later[0].at, true
	}
	if at, waits := e.nextWaiting(); waits && (!found || at < t) {
		t, found = at, true
	}
	return t, found
}

// advance moves the engine's time to t and does what was due by then: at one time
// first what was deferred, then what moves, then what was waiting to sound.
func (e *Engine) advance(t time.Duration) {
	for {
		next, found := e.nextWork()
		if !found || next > t {
			break
		}
		e.now = max(e.now, next)
		switch {
		case len(e.later) > 0 && e.later[0].at <= next:
			d := e.later[0]
			e.later.drop()
			e.catchUp(d.at, &d.it)
		case len(e.wakes) > 0 && e.wakes[0].at <= next:
			e.moveNext()
		default:
			e.takeWaiting()
		}
	}
	e.now = max(e.now, t)
}

// moveNext moves the part whose turn it is.
func (e *Engine) moveNext() {
	p := &e.parts[e.wakes[0].it]
	if e.tryMove(p) {
		e.wakes.putOff(e.now + e.period(p))
	} else {
		p.scheduled = false
		e.wakes.drop()
	}
}

// tryMove is move, and makes the part raw should it fail.
func (e *Engine) tryMove(p *part) (moving bool) {
	defer e.rescue(p, nil)
	moving = true
	moving = e.move(p)
	return moving
}

// wake has the part looked at again a control period from now.
func (e *Engine) wake(p *part) {
	if !p.scheduled {
		p.scheduled = true
		e.wakes.add(entry[int32]{e.now + e.period(p), uint64(p.index), p.index})
	}
}

// period is the time between two steps of a part's movement. A cycle of vibrato
// needs more points than a swell.
func (e *Engine) period(p *part) time.Duration {
	if p.profile.Sampler.BendVibrato {
		return e.cfg.ControlPeriod / 2
	}
	return e.cfg.ControlPeriod
}

// emit has an event that came in come out.
func (e *Engine) emit(ev *expr.Event, side expr.Side) {
	e.said |= side
	e.utter(ev, side)
}

func (e *Engine) utter(ev *expr.Event, side expr.Side) {
	if side &= e.sides & e.cfg.Sides; side != 0 {
		e.queue.put(ev, side)
	}
}

// send emits a channel message of our own on the shaped side.
func (e *Engine) send(p *part, status, d1, d2 byte) {
	e.utter(&expr.Event{
		At: e.now, Port: uint16(p.index / 16), Source: p.source,
		Msg: [3]byte{status | byte(p.index%16), d1, d2}, Len: 3,
	}, expr.Shaped)
}

// apply has the habits shape the engine's note. A habit that panics costs its part the shaping,
// never the music: apply then reports false.
func (e *Engine) apply(p *part) (ok bool) {
	i := 0
	defer func() {
		if r := recover(); r != nil {
			p.fault = fmt.Errorf("the habit %q failed on key %d: %v; the part plays raw", e.abouts[i].Name, e.note.Key, r)
			ok = false
		}
	}()
	e.gesture = expr.Gesture{}
	e.cfg.Trial.Of(expr.OfHabits)
	for i = range e.habits {
		e.note.Amount = p.amounts[i]
		if e.habits[i].Shape(&e.note, &e.gesture) {
			p.counts.Habits[i]++
		}
	}
	p.bound(&e.gesture, e.note.Leads, e.now)
	return true
}

// Counts is what happened on one channel so far.
type Counts struct {
	Notes  uint64   // note-ons that came in as music
	Passed uint64   // note-ons that passed as they came: out of the instrument's range, and no keyswitch of the profile
	Habits []uint64 // notes that each habit shaped, in the order of HabitNames
}

// HabitNames lists the names of the engine's habits as on the command line, in order.
func (e *Engine) HabitNames() []string {
	names := make([]string, len(e.abouts))
	for i, about := range e.abouts {
		names[i] = about.Flag()
	}
	return names
}

// Counts returns what happened on a channel so far. Habits shares memory with the engine.
func (e *Engine) Counts(port, channel int) Counts { return e.parts[port*16+channel].counts }

// Silence forgets the sounding notes of a port and those that wait to sound, for when
// the caller has ended them by itself: a panic, a lost input. What else of the port waits
// comes at once, so that no pedal goes down when its notes are gone.
func (e *Engine) Silence(port int) {
	e.hurry(uint16(port))
	e.listener.SilenceAll()
	for i := port * 16; i < port*16+16; i++ {
		p := &e.parts[i]
		p.notes = p.notes[:0]
		p.in.pedal = false
		e.liftPedal(p)
		p.line.Silence()
		p.early = [128]uint8{}
	}
}
