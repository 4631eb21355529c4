package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// standstill has nobody depart from the beat that comes in.
var standstill = &timing.Warp{}

// timekeeping is how the players stand to the beat that comes in.
type timekeeping struct {
	*ensemble
	timed   expr.PlayerTiming  // nil: each player keeps to the ensemble's beat
	voiced  expr.StrokeVoicing // nil: nobody brings out the melody among their voices
	strokes []expr.KeyStroke
	rubato  expr.EnsembleTiming // nil: the tempo stays
	plan    *timing.Warp        // the ensemble's rubato, where a score is loaded
	players *timing.Ensemble
	endings timing.Endings
	clocked bool  // a clock has come by, which hardware may follow
	fault   error // why the rubato is not known any more
}

// init makes the parts of an ensemble ready to have players depart from the beat.
func (t *timekeeping) init(e *ensemble, parts int) {
	t.ensemble, t.plan, t.players = e, standstill, timing.NewEnsemble(e.cfg.Seed)
	for i := range parts {
		t.players.Seat(uint16(i/16), uint8(i%16), 0, timing.DefaultExponent)
	}
	for _, h := range e.cfg.Habits {
		if h, ok := h.(expr.PlayerTiming); ok {
			t.timed = h
		}
		if h, ok := h.(expr.EnsembleTiming); ok {
			t.rubato = h
		}
		if h, ok := h.(expr.KeyStroke); ok {
			t.strokes = append(t.strokes, h)
		}
		if h, ok := h.(expr.StrokeVoicing); ok {
			t.voiced = h
		}
	}
	if t.rubato == nil {
		e.cfg.Rubato = 0
	}
}

// departs reports whether players, or all of them together, may depart from the beat.
func (t *timekeeping) departs() bool {
	return t.timed != nil || t.advances || t.cfg.Rubato > 0 && t.fault == nil
}

// most is how far before or after its due time a player may play: half of the
// lookahead, as the other half is to know what follows.
func (t *timekeeping) most() time.Duration {
	if !t.departs() {
		return 0
	}
	return min(t.cfg.Lookahead/2, MaxDeviation)
}

// planRubato has the ensemble's rubato be that of the score that is loaded, as far as
// the lookahead allows; without a score, that of the phrase ends that it sees coming.
func (t *timekeeping) planRubato() {
	if t.fault != nil {
		return
	}
	defer expr.Lose(&t.fault, expr.OfRubato)
	most := t.most()
	t.endings.Bound = min(most, timing.MaxEndings)
	t.plan = standstill
	if t.listener.Score.Loaded() && t.rubato != nil {
		t.plan = t.rubato.Warp(t.listener.Score.Course(), t.cfg.Rubato, most, t.cfg.Lookahead)
	}
}

// lengthen has the last note of a phrase be longer, for an ensemble that does not know
// the score, where the phrase is the tune's.
func (t *timekeeping) lengthen(line *hearing.Line, tone *hearing.Tone, at time.Duration) {
	if t.listener.Score.Loaded() || t.cfg.Rubato == 0 || t.fault != nil || tone.Salience < tone.Tune {
		return
	}
	defer expr.Lose(&t.fault, expr.OfRubato)
	next := line.Tone(tone.Next)
	if next != nil && next.Starts&hearing.StartsPhrase != 0 {
		t.endings.Lengthen(at, next.On, t.cfg.Rubato)
	}
}

// warp is by how much the whole ensemble is late with what came in at a time.
func (t *timekeeping) warp(at time.Duration) time.Duration {
	if !t.breathes() {
		return 0
	}
	defer expr.Lose(&t.fault, expr.OfRubato)
	t.cfg.Trial.Of(expr.OfRubato)
	if !t.listener.Score.Loaded() {
		return t.endings.At(at)
	}
	return t.plan.At(t.listener.Score.Time(at))
}

// breathes reports whether the tempo does.
func (t *timekeeping) breathes() bool {
	return t.cfg.Rubato != 0 && t.fault == nil && (!t.clocked || t.cfg.Clocked)
}
