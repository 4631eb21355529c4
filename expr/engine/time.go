package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/timing"
)

// standstill has nobody depart from the beat that comes in.
var standstill = &timing.Warp{}

// keepTime makes the engine ready to have players depart from the beat.
func (e *Engine) keepTime() {
	e.players = timing.NewEnsemble(e.cfg.Seed)
	for i := range e.parts {
		e.players.Seat(uint16(i/16), uint8(i%16), 0, timing.DefaultExponent)
	}
	for _, r := range e.habits {
		if h, ok := r.(expr.PlayerTiming); ok {
			e.timed = h
		}
		if h, ok := r.(expr.EnsembleTiming); ok {
			e.rubato = h
		}
		if h, ok := r.(expr.Pedaller); ok {
			e.pedalled = h
		}
		if h, ok := r.(expr.StrokeVoicing); ok {
			e.voiced = h
		}
	}
	if e.rubato == nil {
		e.cfg.Rubato = 0
	}
}

// departs reports whether players, or all of them together, may depart from the beat.
func (e *Engine) departs() bool { return e.timed != nil || e.cfg.Rubato > 0 && e.rubatoFault == nil }

// scoreTime is where in the score's written time an event stands.
func (e *Engine) scoreTime(ev *expr.Event) time.Duration {
	if !ev.IsNoteOn() {
		return e.listener.ScoreTime(expr.Unknown, ev.At)
	}
	return e.listener.ScoreTime(int(ev.Note)-1, ev.At)
}
