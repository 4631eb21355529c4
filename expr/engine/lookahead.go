package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
)

// MaxLookahead is the longest lookahead.
const MaxLookahead = 3 * time.Second

// SetLookahead has all that comes in from now on sound later by so much, within 0
// and MaxLookahead. While something plays, the delay glides there at a
// quarter of a second each second, so that nothing clicks, and no order changes.
func (e *Engine) SetLookahead(l time.Duration) {
	e.cfg.Lookahead = min(max(l, 0), MaxLookahead)
	e.listener.HearAhead(e.cfg.Lookahead)
	e.delay.set(e.now, e.cfg.Lookahead, e.idle())
	e.planRubato()
}

// Lookahead is the delay that was asked for, and the one that what comes in now has.
func (e *Engine) Lookahead() (asked, now time.Duration) {
	return e.cfg.Lookahead, e.delay.of(e.now)
}

// Load has the engine know a score: a note-on whose Note is set is played as one who
// has read what follows plays it. Nil: no score. The score is read at once, which takes about
// a microsecond a note, and must not be changed afterwards.
func (e *Engine) Load(s *expr.Score) {
	e.listener.Load(s)
	e.retry()
	e.planRubato()
}

// SetPace tells the engine how much faster than the score's written tempo the music
// goes: 1 as written. Other paces than 1/8 to 8 are taken as the nearest of these.
func (e *Engine) SetPace(pace float64) { e.listener.SetPace(pace) }

// restTime is how long no note has come when a rest may grow or shrink by the delay
// unnoticed. Ours.
const restTime = time.Second

// idle reports whether nothing sounds, nothing waits to, and no note has come for a while.
func (e *Engine) idle() bool {
	if e.ahead.n > 0 || len(e.later) > 0 || e.heardNote && e.now-e.noteAt < restTime {
		return false
	}
	for i := range e.parts {
		if e.parts[i].line.Sounds() {
			return false
		}
	}
	return true
}

// delayOf is by how much an event that comes in now sounds later. idle says whether
// nothing sounded or waited to before it, and state whether the sequence runs.
func (e *Engine) delayOf(ev *expr.Event, idle bool, state beat.State) time.Duration {
	target := e.cfg.Lookahead
	if state == beat.Stands {
		target = 0
	}
	if now := e.delay.of(ev.At); now != target && (idle || e.delay.target != target) {
		e.delay.set(ev.At, target, idle)
	}
	return e.delay.of(ev.At)
}

// Transport says whether the sequence that comes in runs, and by what that is told. It
// always runs where the engine was not asked to find out.
func (e *Engine) Transport() (beat.State, beat.Reason) {
	if e.transport == nil || e.transportFault != nil {
		return beat.Runs, beat.MusicPlays
	}
	defer expr.Lose(&e.transportFault, expr.OfTransport)
	return e.transport.State(e.now)
}

// takeTransport hears what tells whether the sequence runs.
func (e *Engine) takeTransport(ev *expr.Event) (state beat.State) {
	state = beat.Runs
	if e.transport == nil || e.transportFault != nil {
		return state
	}
	defer expr.Lose(&e.transportFault, expr.OfTransport)
	e.cfg.Trial.Of(expr.OfTransport)
	return e.transport.Take(ev.At, int(ev.Port), ev.Bytes())
}

// nextWaiting is when an event that waits is next looked at.
func (e *Engine) nextWaiting() (time.Duration, bool) {
	if e.ahead.n == 0 {
		return 0, false
	}
	due := e.ahead.at(0).due
	if e.ahead.decided < e.ahead.n {
		due = min(due, e.ahead.at(e.ahead.decided).due-e.maxDeviation())
	}
	return max(due, 0), true
}

// takeWaiting looks at the event whose time it is: first, when a player plays it
// is decided, as early as that may come to be; at its due time it sounds.
func (e *Engine) takeWaiting() {
	if i := e.ahead.decided; i < e.ahead.n && e.ahead.at(i).due-e.maxDeviation() <= e.now {
		e.ahead.decided++
		e.decide(e.ahead.at(i))
		return
	}
	w := *e.ahead.at(0)
	e.ahead.drop()
	switch {
	case w.seat != nil:
		e.takeSeat(w.seat)
	case w.split:
		w.ev.At = e.now
		e.emit(&w.ev, expr.Raw)
	default:
		e.play(&w.ev, w.tone)
	}
}

// Waiting hands the input that waits to sound to see, in the order in which it came in and
// with the times at which it did: what another engine needs that is to go on in this one's place.
func (e *Engine) Waiting(see func(*expr.Event)) {
	for i := range e.ahead.n {
		if w := e.ahead.at(i); w.seat == nil {
			see(&w.ev)
		}
	}
}

// PlayedOut is when all that has come in so far will have sounded, and all notes will have
// ended whose end has come in.
func (e *Engine) PlayedOut() time.Duration {
	at := e.now
	for i := range e.later {
		if e.later[i].it.what != pedals {
			at = max(at, e.later[i].at)
		}
	}
	if e.ahead.n > 0 {
		at = max(at, e.ahead.at(e.ahead.n-1).due+e.maxDeviation())
	}
	return at
}

// hurry has what waits on a port come now: first what the players had taken up, then
// the rest, so that the order stays. Notes are dropped; the clock keeps its time.
func (e *Engine) hurry(port uint16) {
	for _, d := range e.unplayed(port) {
		if d.it.ev.IsNote() {
			e.awaited--
		} else {
			e.catchUp(d.at, &d.it)
		}
	}
	for _, w := range e.ahead.remove(port) {
		switch {
		case w.ev.IsNote():
		case w.split:
			w.ev.At = e.now
			e.emit(&w.ev, expr.Raw)
		default:
			e.play(&w.ev, w.tone)
		}
	}
}
