package engine

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// pedalUse is a way of pedalling, and how much of it.
type pedalUse struct {
	expr.Pedal
	amount float64
}

// pedal is a player's foot on the pedal.
type pedal struct {
	planner *pedalling.Planner // nil: the player has none
	habit   pedalUse           // that the planner was made for
	down    bool
	sent    int           // on the damper controller; unsent until it first moves
	look    time.Duration // when it next looks whether to move; Unknown
}

// takePedal gives a part the foot that its profile asks for.
func (e *Engine) takePedal(p *part) {
	if e.pedalled == nil {
		return
	}
	habit := pedalUse{p.profile.Pedal, p.profile.Amounts.Of(e.pedalled.About().Key)}
	if p.pedal.habit == habit {
		return
	}
	e.liftPedal(p)
	p.pedal = pedal{habit: habit, sent: p.pedal.sent, look: expr.Unknown}
	if p.pedalFault != nil {
		return
	}
	defer e.losePedal(p)
	e.cfg.Trial.Of(expr.OfPedal)
	if p.pedal.planner = e.pedalled.Pedal(p.profile); p.pedal.planner != nil {
		e.heedMark(p)
	}
}

// hearPedal has the foot hear a note begin.
//
// The melody that it hears is what moves over a chord; the top of a chord is of the chord.
func (e *Engine) hearPedal(p *part, n *expr.Note, tone int64) {
	if p.pedal.planner == nil {
		return
	}
	short := n.Marks&(expr.Staccato|expr.Staccatissimo) != 0
	e.ask(p, func(foot *pedalling.Planner) {
		foot.Note(e.now, int(n.Key), int(n.Velocity), n.Length, n.ToNext, short, n.Role == expr.Melody && p.line.StruckAlone(tone))
	})
	e.movePedal(p)
}

// ask has a part's planner, if it has one, do or tell something. One that fails costs the
// part its foot.
func (e *Engine) ask(p *part, do func(*pedalling.Planner)) {
	if p.pedal.planner != nil {
		defer e.losePedal(p)
		e.cfg.Trial.Of(expr.OfPedal)
		do(p.pedal.planner)
	}
}

// movePedal does what the foot has to do by now, and has it looked at again when it has more.
func (e *Engine) movePedal(p *part) {
	f := &p.pedal
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
		e.put(at, deferred{part: p.index, what: pedals})
	}
}

// liftPedal has the foot come up, as at a stop.
func (e *Engine) liftPedal(p *part) {
	if p.pedal.planner != nil {
		e.ask(p, func(foot *pedalling.Planner) { foot.Reset(e.now) })
		e.heedMark(p)
		e.movePedal(p)
	}
}

// heedMark tells a foot that knows nothing yet that the notation holds the pedal down.
func (e *Engine) heedMark(p *part) {
	if p.in.pedal {
		e.ask(p, func(foot *pedalling.Planner) { foot.Marked(e.now, true) })
	}
}

// givePedalBack leaves the pedal to what came in.
func (e *Engine) givePedalBack(p *part) {
	e.liftPedal(p)
	if value := int(max(p.in.cc[expr.CCDamper], 0)); p.pedal.sent != unsent && p.pedal.sent != value {
		e.send(p, 0xB0, expr.CCDamper, byte(value))
	}
	p.pedal = pedal{sent: unsent, look: expr.Unknown}
}
