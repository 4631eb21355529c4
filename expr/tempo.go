package expr

import (
	"time"

	"swellbox/expr/timing"
)

// standstill has nobody depart from the beat that comes in.
var standstill = &timing.Warp{}

// keepTime makes the engine ready to have players depart from the beat.
func (e *Engine) keepTime() {
	e.steady = true
	e.players = timing.NewEnsemble(e.cfg.Seed)
	for i := range e.parts {
		e.players.Seat(uint16(i/16), uint8(i%16), 0, timing.DefaultExponent)
	}
	rubato := false
	for _, r := range e.rules {
		switch r.(type) {
		case Microtiming:
			e.steady = false
		case Rubato:
			rubato = true
		case Pedalling:
			e.pedals = true
		case Voicing:
			e.voices = true
		}
	}
	if !rubato {
		e.cfg.Rubato = 0
	}
}

// departs reports whether players, or all of them together, may depart from the beat.
func (e *Engine) departs() bool { return !e.steady || e.cfg.Rubato > 0 }

// scoreTime is where in the score's written time an event stands.
func (e *Engine) scoreTime(ev *Event) time.Duration {
	if i := int(ev.Note) - 1; ev.IsNoteOn() && i >= 0 && i < len(e.reading.score.Notes) {
		e.foundAt, e.found = ev.At, e.reading.score.Notes[i].On
		return e.found
	}
	return e.found + time.Duration(float64(ev.At-e.foundAt)*e.pace)
}

// Microtiming has each player stand in time in a way of its own: a little before or
// after the beat, wandering slowly, and drawn to the others. Where a hammer strikes, louder notes
// come earlier by what its travel takes less. It needs lookahead, and does nothing
// without.
//
// Sources: Hennig et al. 2011 (1/f deviations), Wing et al. 2014 (phase correction),
// Goebl 2001 (the hammer); see package timing.
type Microtiming struct{}

// Name is the rule's name in counts and reports.
func (Microtiming) Name() string { return "timing" }

// Shape reports whether the note is played at a time of its own, which was decided
// before it sounds.
func (Microtiming) Shape(n *Note, _ *Gesture) bool { return n.Shift != n.Warp }
