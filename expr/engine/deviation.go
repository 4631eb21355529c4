package engine

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// decide finds when the shaped side of a part plays an event, and defers it until then. A part
// that is not shaped stays with the raw side.
//
// In one channel no note, neither its start nor its end, passes a message of another kind, as
// that may be what the note needs: a program, a pedal. What has to wait for that waits
// also where nobody has a time of their own any more.
func (t *timekeeping) decide(p *part, w *waiting) {
	tone, starts := p.notes.line.Tone(w.tone), w.ev.IsNoteOn()
	if starts && tone != nil && p.passes(w.tone, tone) {
		tone, w.tone = nil, passed
	}
	most := t.most()
	if !p.sampler.shaped && p.notes.next == nil {
		most = 0
	}
	if most == 0 && max(p.timing.note, p.timing.other) <= w.due { // nothing is to come that it might pass
		if tone != nil && starts {
			tone.Played = w.due
		}
		return
	}
	w.split = true
	defer p.timing.undecide(w)
	warp := time.Duration(0)
	if most > 0 {
		if tone != nil && starts {
			t.lengthen(p.notes.line, tone, w.ev.At)
		}
		if starts && t.breathes() {
			t.listener.Score.Find(int(w.ev.Note)-1, w.ev.At)
		}
		warp = t.warp(w.ev.At)
	}
	var at time.Duration
	switch {
	case tone == nil:
		at = max(w.due+warp, p.timing.note, p.timing.other, t.now)
		p.timing.other = at
	case starts:
		own := time.Duration(0)
		if most > 0 {
			most = min(most, MaxOwnShift)
			own = min(max(t.ownShift(p, tone, w), -most), most) - attackOf(playedBy(p))
		}
		at = max(w.due+warp+own, p.timing.other, p.timing.soonest(p.notes.line, tone), t.now)
		tone.Played, tone.Shift, tone.Warp = at, at-w.due, warp
		p.timing.struck[tone.Key] = w.tone
		p.timing.note = max(p.timing.note, at)
	default:
		// A note keeps its length, but for what it had to wait for: a wait that was handed on from end
		// to start to end would grow.
		own := min(tone.Shift-tone.Warp, min(most, MaxOwnShift))
		at = max(w.due+warp+own, tone.Played+min(tone.Off-tone.On, shortestNote), p.timing.other, t.now)
		p.timing.note = max(p.timing.note, at)
	}
	t.put(at, deferred{part: p.sampler.index, tone: w.tone, what: plays, ev: w.ev})
}

// ownShift is by how much a player is later than the ensemble with a note: its own
// unsteadiness, and the time that a hammer takes less when it is struck harder.
func (t *timekeeping) ownShift(p *part, tone *hearing.Tone, w *waiting) time.Duration {
	profile := playedBy(p)
	if t.timed == nil || p.timing.fault != nil {
		return 0
	}
	defer expr.Lose(&p.timing.fault, expr.OfTiming)
	t.cfg.Trial.Of(expr.OfTiming)
	sd, on := t.timed.Spread(profile)
	if !on {
		return 0
	}
	i := p.sampler.index
	if sd = timing.SectionSD(sd, p.players); sd != p.timing.sd {
		p.timing.sd = sd
		t.players.Reseat(int(i), uint16(i/16), uint8(i%16), sd, timing.DefaultExponent)
	}
	shift := t.players.Shift(int(i), w.ev.At) + t.inChord(p, profile, w)
	if t.voiced != nil {
		velocity := w.ev.Msg[2]
		p.notes.line.Place(tone)
		db := t.voiced.StrokeDB(profile, tone.Role, int(tone.Voices))
		shift -= t.timed.Lead(profile, velocity, struck(float64(velocity), db))
	}
	return shift
}

// inChord is by how much a note is later than the others of its chord: by how much softer it is
// struck, and by chance.
func (t *timekeeping) inChord(p *part, profile *expr.Profile, w *waiting) time.Duration {
	sd := t.timed.ChordSpread(profile)
	if sd == 0 {
		return 0
	}
	if p.timing.by != profile {
		p.timing.by, p.timing.strokes = profile, expr.Touch{}
		for _, s := range t.strokes {
			p.timing.strokes[s.Strokes()] = profile.Amounts.Of(s.Strokes().Key())
		}
	}
	i := int(p.sampler.index)
	s := t.listener.Stroke(i, w.tone, int(w.ev.Note)-1, &p.timing.strokes)
	if s.Notes < 2 {
		return 0
	}
	all, own := struck(s.Velocity, s.MeanDB), struck(float64(w.ev.Msg[2]), s.DB)
	return t.players.Stray(i, sd, s.Place, s.Notes) - t.timed.Lead(profile, all, own)
}

// playedBy is the profile by which the next note is played; nil before anybody was seated.
func playedBy(p *part) *expr.Profile {
	if p.notes.next != nil {
		return p.notes.next
	}
	return p.sampler.profile
}

// attackOf is how late a profile's notes were measured to be heard, by which they are played earlier.
func attackOf(profile *expr.Profile) time.Duration {
	if profile == nil || profile.Sampler.Measured == nil {
		return 0
	}
	return profile.Sampler.Measured.Attack
}

// struck is a velocity at which a note is struck by so much harder, dB.
func struck(velocity, db float64) uint8 {
	return uint8(min(max(math.Round(velocity*math.Pow(10, db/40)), 1), 127))
}
