package engine

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// footwork is a way of pedalling, and how much of it.
type footwork struct {
	expr.Pedal
	amount float64
}

// foot is a player's foot on the pedal.
type foot struct {
	planner *pedalling.Planner // nil: the player has none
	habit   footwork           // that the planner was made for
	down    bool
	sent    int           // on the damper controller; unsent until it first moves
	look    time.Duration // when it next looks whether to move; Unknown
}

// takeFoot gives a part the foot that its profile asks for.
func (e *Engine) takeFoot(p *part) {
	if e.pedalled == nil {
		return
	}
	habit := footwork{p.profile.Pedal, p.profile.Amounts.Of(e.pedalled.About().Key)}
	if p.foot.habit == habit {
		return
	}
	e.liftFoot(p)
	p.foot = foot{habit: habit, sent: p.foot.sent, look: expr.Unknown}
	if p.footFault != nil {
		return
	}
	defer e.loseFoot(p)
	e.cfg.Trial.Of(expr.OfPedal)
	if p.foot.planner = e.pedalled.Pedal(p.profile); p.foot.planner != nil {
		e.heedMark(p)
	}
}

// hearFoot has the foot hear a note begin.
//
// The melody that it hears is what moves over a chord; the top of a chord is of the chord.
func (e *Engine) hearFoot(p *part, n *expr.Note, tone int64) {
	if p.foot.planner == nil {
		return
	}
	short := n.Marks&(expr.Staccato|expr.Staccatissimo) != 0
	e.ask(p, func(foot *pedalling.Planner) {
		foot.Note(e.now, int(n.Key), int(n.Velocity), n.Length, n.ToNext, short, n.Role == expr.Melody && p.line.StruckAlone(tone))
	})
	e.moveFoot(p)
}

// ask has a part's planner, if it has one, do or tell something. One that fails costs the
// part its foot.
func (e *Engine) ask(p *part, do func(*pedalling.Planner)) {
	if p.foot.planner != nil {
		defer e.loseFoot(p)
		e.cfg.Trial.Of(expr.OfPedal)
		do(p.foot.planner)
	}
}

// moveFoot does what the foot has to do by now, and has it looked at again when it has more.
func (e *Engine) moveFoot(p *part) {
	f := &p.foot
	for {
		depth, ok := 0.0, false
		e.ask(p, func(foot *pedalling.Planner) { _, depth, ok = foot.Pull(e.now) })
		if !ok {
			break
		}
		if value := int(math.Round(depth * 127)); value != f.sent {
			f.sent = value
			e.send(p, 0xB0, expr.CCDamper, byte(value))
		}
		if f.down = depth > 0; !f.down && !p.in.pedal {
			p.releaseHeld()
			e.settle(p)
		}
	}
	if f.planner == nil { // who plays may have changed when the pedal let go of the last note
		return
	}
	at, ok := time.Duration(0), false
	e.ask(p, func(foot *pedalling.Planner) { at, ok = foot.Next() })
	if !ok {
		f.look = expr.Unknown
		return
	}
	if at = max(at, e.now+time.Millisecond); f.look == expr.Unknown || f.look <= e.now || at < f.look {
		f.look = at
		e.put(&deferred{at: at, part: p.index, what: treads})
	}
}

// liftFoot has the foot come up, as at a stop.
func (e *Engine) liftFoot(p *part) {
	if p.foot.planner != nil {
		e.ask(p, func(foot *pedalling.Planner) { foot.Reset(e.now) })
		e.heedMark(p)
		e.moveFoot(p)
	}
}

// heedMark tells a foot that knows nothing yet that the notation holds the pedal down.
func (e *Engine) heedMark(p *part) {
	if p.in.pedal {
		e.ask(p, func(foot *pedalling.Planner) { foot.Marked(e.now, true) })
	}
}

// giveFootBack leaves the pedal to what came in.
func (e *Engine) giveFootBack(p *part) {
	e.liftFoot(p)
	if value := int(max(p.in.cc[expr.CCDamper], 0)); p.foot.sent != unsent && p.foot.sent != value {
		e.send(p, 0xB0, expr.CCDamper, byte(value))
	}
	p.foot = foot{sent: unsent, look: expr.Unknown}
}
