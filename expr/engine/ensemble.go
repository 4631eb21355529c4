package engine

import (
	"fmt"

	"swellbox/expr"
	"swellbox/expr/hearing"
)

// ensemble is what all parts of an engine share: the time and what waits for it, what comes out,
// what is heard of each other, and the habits that players may have.
type ensemble struct {
	advances bool // some part's notes are heard late, and are played earlier where there is a lookahead
	cfg      Config
	abouts   []*expr.About // of the habits
	pedaller expr.Pedaller // nil: nobody pedals where no pedal is written
	listener *hearing.Listener
	schedule
	output
}

// newEnsemble makes what so many parts share, with the defaults of what is not said of them.
func newEnsemble(cfg Config, parts int) ensemble {
	if cfg.Sides == 0 {
		cfg.Sides = expr.Both
	}
	if cfg.ControlPeriod <= 0 {
		cfg.ControlPeriod = DefaultControlPeriod
	}
	e := ensemble{
		cfg: cfg, abouts: abouts(cfg.Habits), listener: hearing.NewListener(parts, cfg.Trial),
		schedule: schedule{noteAt: expr.Unknown, awake: make([]bool, parts)}, output: output{sides: cfg.Sides},
	}
	for _, h := range cfg.Habits {
		if h, ok := h.(expr.Pedaller); ok {
			e.pedaller = h
		}
	}
	return e
}

// abouts are what habits say of themselves, their types in place of those that cannot.
func abouts(habits []expr.Habit) []*expr.About {
	all := make([]*expr.About, len(habits))
	for i, h := range habits {
		func() {
			defer func() {
				if recover() != nil || all[i] == nil {
					all[i] = &expr.About{Name: fmt.Sprintf("%T", h), Key: fmt.Sprintf("%T", h)}
				}
			}()
			all[i] = h.About()
		}()
	}
	return all
}

// input is an event that came in, as it is played.
type input struct {
	*ensemble
	ev    *expr.Event // only to be read
	tone  int64       // the number of its note in its line; 0 if it is none, passed if it passes as it comes
	sides expr.Side   // for which it is played
	said  expr.Side   // on which it has come out
}

// emit has the event come out as it came in.
func (in *input) emit(side expr.Side) { in.emitAs(in.ev, side) }

// emitAs has another event come out in its place.
func (in *input) emitAs(ev *expr.Event, side expr.Side) {
	in.said |= side
	in.say(ev, in.now, side&in.sides)
}
