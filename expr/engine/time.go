package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/timing"
)

// standstill has nobody depart from the beat that comes in.
var standstill = &timing.Warp{}

// timekeeping is how the players stand to the beat that comes in.
type timekeeping struct {
	timed   expr.PlayerTiming   // nil: each player keeps to the ensemble's beat
	voiced  expr.StrokeVoicing  // nil: nobody brings out the melody among their voices
	rubato  expr.EnsembleTiming // nil: the tempo stays
	plan    *timing.Warp        // the ensemble's rubato, where a score is loaded
	players *timing.Ensemble
	endings timing.Endings
	clocked bool // a clock has come by, which hardware may follow

	heardNote bool
	noteAt    time.Duration   // when the latest note came in
	transport *beat.Transport // nil: music is always taken to run

	transportFault, rubatoFault error // why these are not known any more
}

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
