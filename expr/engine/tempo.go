package engine

import (
	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// planRubato has the ensemble's rubato be that of the score that is loaded, as far as
// the lookahead allows; without a score, that of the phrase ends that it sees coming.
func (e *Engine) planRubato() {
	if e.rubatoFault != nil {
		return
	}
	defer expr.Lose(&e.rubatoFault, expr.OfRubato)
	bound := e.maxDeviation()
	e.endings.Bound = min(bound, timing.MaxEndings)
	e.plan = standstill
	if e.listener.HasScore() && e.rubato != nil {
		e.plan = e.rubato.Warp(e.listener.Course(), e.cfg.Rubato, bound, e.cfg.Lookahead)
	}
}

// lengthen has the last note of a phrase be longer, for an ensemble that does not know
// the score, where the phrase is the tune's.
func (e *Engine) lengthen(p *part, t *hearing.Tone, ev *expr.Event) {
	if e.listener.HasScore() || e.cfg.Rubato == 0 || e.rubatoFault != nil || t.Salience < t.Tune {
		return
	}
	defer expr.Lose(&e.rubatoFault, expr.OfRubato)
	next := p.line.Tone(t.Next)
	if next != nil && next.Starts&hearing.StartsPhrase != 0 {
		e.endings.Lengthen(ev.At, next.On, e.cfg.Rubato)
	}
}
