package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
)

// sequence is what tells whether the sequence that comes in runs.
type sequence struct {
	transport *beat.Transport // nil: music is always taken to run
	trial     expr.Trial
	fault     error // why that is not known any more
}

// take hears what tells whether the sequence runs.
func (s *sequence) take(ev *expr.Event) (state beat.State) {
	state = beat.Runs
	if s.transport == nil || s.fault != nil {
		return state
	}
	defer expr.Lose(&s.fault, expr.OfTransport)
	s.trial.Of(expr.OfTransport)
	return s.transport.Take(ev.At, int(ev.Port), ev.Bytes())
}

// state says whether the sequence runs at a time, and by what that is told.
func (s *sequence) state(at time.Duration) (beat.State, beat.Reason) {
	if s.transport == nil || s.fault != nil {
		return beat.Runs, beat.MusicPlays
	}
	defer expr.Lose(&s.fault, expr.OfTransport)
	return s.transport.State(at)
}

// retry finds out anew what was lost.
func (s *sequence) retry(ports int) {
	if s.fault != nil {
		s.transport, s.fault = beat.NewTransport(ports), nil
	}
}
