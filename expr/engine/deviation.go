package engine

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// MaxDeviation is how far before or after its due time a player may play, at most. Ours; it
// leaves room for all that is published of ensembles, and for rubato.
const MaxDeviation = 250 * time.Millisecond

// MaxOwnShift is how far from the ensemble's beat one player may play a note, at most: the
// asynchrony from which the order of two onsets is sure to be heard.
//
// Sources: 60 ms, Hirsh 1959 as told by Watson 2004. What players have is less: 27 to 49 ms
// between those of an ensemble (Rasch 1979), a melody that leads its chord by about 30 ms
// (Goebl 2001).
const MaxOwnShift = timing.MaxShift

// shortestNote is the least that a note sounds whose ends were moved. Ours.
const shortestNote = 10 * time.Millisecond

// maxDeviation is how far before or after its due time a player may play: half of the
// lookahead, as the other half is to know what follows.
func (e *Engine) maxDeviation() time.Duration {
	if !e.departs() {
		return 0
	}
	return min(e.cfg.Lookahead/2, MaxDeviation)
}

// decide finds when the shaped side plays an event, and defers it until then. What
// is not a part's own stays with the raw side, and so does a part that is not shaped.
//
// In one channel no note, neither its start nor its end, passes a message of another kind, as
// that may be what the note needs: a program, a pedal. What has to wait for that waits
// also where nobody has a time of their own any more.
func (e *Engine) decide(w *waiting) {
	if !e.departs() || w.seat != nil || !w.ev.IsChannel() || int(w.ev.Port) >= e.cfg.Ports {
		return
	}
	p := &e.parts[int(w.ev.Port)*16+w.ev.Channel()]
	t := p.line.Tone(w.tone)
	if t != nil && w.ev.IsNoteOn() && e.passes(p, w.tone) {
		t, w.tone = nil, passed
	}
	bound := e.maxDeviation()
	if !p.shaped && p.next == nil {
		bound = 0
	}
	if bound == 0 && max(p.playedNote, p.playedOther) <= w.due { // nothing is to come that it might pass
		if t != nil && w.ev.IsNoteOn() {
			t.Played = w.due
		}
		return
	}
	w.split = true
	defer e.undecide(p, w)
	at, warp := w.due, time.Duration(0)
	if bound > 0 {
		if t != nil && w.ev.IsNoteOn() {
			e.lengthen(p, t, &w.ev)
		}
		warp = e.warp(&w.ev)
	}
	switch {
	case t == nil:
		at = max(at+warp, p.playedNote, p.playedOther, e.now)
		p.playedOther = at
	case w.ev.IsNoteOn():
		own := time.Duration(0)
		if bound > 0 {
			most := min(bound, MaxOwnShift)
			own = min(max(e.ownShift(p, t, &w.ev), -most), most)
		}
		at = max(at+warp+own, p.playedOther, p.soonest(t), e.now)
		t.Played, t.Shift, t.Warp = at, at-w.due, warp
		p.struck[t.Key] = w.tone
		p.playedNote = max(p.playedNote, at)
	default:
		// A note keeps its length, but for what it had to wait for: a wait that was handed on from end
		// to start to end would grow.
		own := min(t.Shift-t.Warp, min(bound, MaxOwnShift))
		at = max(at+warp+own, t.Played+min(t.Off-t.On, shortestNote), p.playedOther, e.now)
		p.playedNote = max(p.playedNote, at)
	}
	e.put(at, deferred{part: p.index, tone: w.tone, what: plays, ev: w.ev})
}

// soonest is when a note may be struck at the soonest, for the note before it on its key.
func (p *part) soonest(t *hearing.Tone) time.Duration {
	before := p.line.Tone(p.struck[t.Key])
	if before == nil {
		return 0
	}
	return before.Played + min(t.On-before.On, shortestNote)
}

// ownShift is by how much a player is later than the ensemble with a note: its own
// unsteadiness, and the time that a hammer takes less when it is struck harder.
func (e *Engine) ownShift(p *part, t *hearing.Tone, ev *expr.Event) time.Duration {
	profile := p.profile
	if p.next != nil {
		profile = p.next
	}
	if e.timed == nil || p.timingFault != nil {
		return 0
	}
	defer expr.Lose(&p.timingFault, expr.OfTiming)
	e.cfg.Trial.Of(expr.OfTiming)
	sd, on := e.timed.Spread(profile)
	if !on {
		return 0
	}
	if sd = timing.SectionSD(sd, p.players); sd != p.sd {
		p.sd = sd
		e.players.Reseat(int(p.index), uint16(p.index/16), uint8(p.index%16), sd, timing.DefaultExponent)
	}
	shift := e.players.Shift(int(p.index), ev.At)
	if e.voiced != nil {
		shift -= e.timed.Lead(profile, ev.Msg[2], e.struck(p, profile, t, ev.Msg[2]))
	}
	return shift
}

// struck is the velocity at which a note is struck as one of its part's voices.
func (e *Engine) struck(p *part, profile *expr.Profile, t *hearing.Tone, velocity uint8) uint8 {
	p.line.Place(t)
	db := e.voiced.StrokeDB(profile, t.Role, int(t.Voices))
	return uint8(min(max(math.Round(float64(velocity)*math.Pow(10, db/40)), 1), 127))
}

// warp is by how much the whole ensemble is late with what comes in at an event's time.
func (e *Engine) warp(ev *expr.Event) time.Duration {
	if e.cfg.Rubato == 0 || e.rubatoFault != nil || e.clocked && !e.cfg.Clocked {
		return 0
	}
	defer expr.Lose(&e.rubatoFault, expr.OfRubato)
	e.cfg.Trial.Of(expr.OfRubato)
	if !e.listener.HasScore() {
		return e.endings.At(ev.At)
	}
	return e.plan.At(e.scoreTime(ev))
}
