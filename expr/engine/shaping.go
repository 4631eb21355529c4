package engine

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
)

// Counts is what happened on one channel so far, and where it is in its phrase.
type Counts struct {
	Notes  uint64   // note-ons that came in as music
	Passed uint64   // note-ons that passed as they came: out of the instrument's range, and no keyswitch of the profile
	Habits []uint64 // notes that each habit shaped, in the order of HabitNames

	PhraseSince time.Duration // how long ago the phrase began that is played now; expr.Unknown where nobody can tell, or it is over
	PhraseUntil time.Duration // for how long it goes on; expr.Unknown likewise
}

// shaping is how the player of a part shapes a note. The note and the gesture live here because
// a habit is called through an interface, and what it is lent must not cost an allocation a note.
type shaping struct {
	note    expr.Note    // the latest, as the habits know it
	gesture expr.Gesture // what they made of it
	amounts []float64    // of the habits, in their order
	did     []uint64     // notes that each has shaped
	nuance  last
	touch   top
}

func (s *shaping) init(habits int) {
	s.amounts, s.did = make([]float64, habits), make([]uint64, habits)
	s.nuance.at, s.touch.at = expr.Unknown, expr.Unknown
}

// perceive finds what is known of the note that is about to sound, and around it.
func (s *shaping) perceive(in *input, by *sampler, players int, line *hearing.Line) {
	velocity := in.ev.Msg[2]
	n := &s.note
	*n = expr.Note{
		Profile: by.profile, Players: players, On: in.now, Key: in.ev.Msg[1], Velocity: velocity,
		WrittenDB: by.profile.Dynamics.Reading.At(float64(velocity)),
		RawDB:     by.rawLaw.At(float64(velocity)),
		MfDB:      by.mfDB,
	}
	in.listener.Describe(n, int(by.index), in.tone, int(in.ev.Note)-1, in.now)
	if n.Grade == expr.Causal && in.cfg.Lookahead > 0 && line.Tone(in.tone) != nil {
		n.Grade = expr.Ahead
	}
}

// phrase is how long ago the phrase of the latest note began, and for how long it goes on.
func (s *shaping) phrase(now time.Duration) (since, until time.Duration) {
	n := &s.note
	passed := now - n.On
	switch {
	case n.Profile == nil || n.Phrase.Since < 0:
		return expr.Unknown, expr.Unknown
	case n.Phrase.Until <= 0:
		return n.Phrase.Since + passed, expr.Unknown
	case passed > n.Phrase.Until:
		return expr.Unknown, expr.Unknown
	}
	return n.Phrase.Since + passed, n.Phrase.Until - passed
}

// shape has the habits shape the note. One that panics costs its part the shaping, never the
// music: that is the error.
func (s *shaping) shape(e *ensemble) (fault error) {
	i := 0
	defer func() {
		if r := recover(); r != nil {
			fault = fmt.Errorf("the habit %q failed on key %d: %v; the part plays raw", e.abouts[i].Name, s.note.Key, r)
		}
	}()
	s.gesture = expr.Gesture{}
	e.cfg.Trial.Of(expr.OfHabits)
	for i = range e.cfg.Habits {
		s.note.Amount = s.amounts[i]
		if e.cfg.Habits[i].Shape(&s.note, &s.gesture) {
			s.did[i]++
		}
	}
	s.bound(e.now)
	if m := s.note.Profile.Sampler.Measured; m != nil {
		s.gesture.VibratoCents = max(s.gesture.VibratoCents-m.VibratoCents, 0)
	}
	return nil
}

// bound adds up what the habits have said of the level, within its bounds.
func (s *shaping) bound(now time.Duration) {
	g := &s.gesture
	touch := within(g.TouchDB, expr.MaxTouchDB)
	if s.note.Leads {
		touch = s.touch.step(touch, expr.MaxTouchStepDB, now)
	}
	g.LevelDB += s.nuance.step(within(g.NuanceDB, expr.MaxNuanceDB), expr.MaxNuanceStepDB, now) + g.VoicedDB +
		(touch + within(g.SignDB, expr.MaxTouchDB))
}

// within holds a level within a bound on both sides, dB.
func within(db, most float64) float64 { return min(max(db, -most), most) }

// last is what the latest note had of a level, dB.
type last struct {
	db float64
	at time.Duration // when that was; Unknown before
}

// lastTime is how long after a note the next one is still measured by it. Ours.
const lastTime = 2 * time.Second

// step holds the next note's level within a step of the latest one's.
func (l *last) step(db, most float64, now time.Duration) float64 {
	if l.at != expr.Unknown && now-l.at <= lastTime {
		db = min(max(db, l.db-most), l.db+most)
	}
	l.db, l.at = db, now
	return db
}

// top is what the line on top had of a level. Where the rest of a chord is not known yet, several of
// its notes may lead in turn: all of them are measured by what came before the chord.
type top struct {
	last                 // the latest note
	before last          // the latest before its chord
	began  time.Duration // the chord
}

// step holds the next note's level within a step of that of the line before.
func (t *top) step(db, most float64, now time.Duration) float64 {
	if t.at == expr.Unknown || now-t.began > expr.ChordTime {
		t.before, t.began = t.last, now
	}
	from := t.before
	t.db, t.at = from.step(db, most, now), now
	return t.db
}
