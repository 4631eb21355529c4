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
	*notes
	planner *pedalling.Planner // nil: the player has none
	use     pedalUse           // that the planner was made for
	told    int                // the damper controller; Unknown until the foot first moves
	look    time.Duration      // when it next looks whether to move; Unknown
	fault   error              // why nobody pedals any more
	settle  func()             // is called when the foot has let go of what only it held
}

// free is a foot that nobody uses.
func (f *pedal) free() {
	f.planner, f.use, f.told, f.look, f.held = nil, pedalUse{}, expr.Unknown, expr.Unknown, false
}

// take gives a part the foot that its profile asks for.
func (f *pedal) take() {
	if f.pedaller == nil {
		return
	}
	use := pedalUse{f.profile.Pedal, f.profile.Amounts.Of(f.pedaller.About().Key)}
	if f.use == use {
		return
	}
	f.lift()
	told := f.told
	f.free()
	f.use, f.told = use, told
	if f.fault != nil {
		return
	}
	defer f.lose()
	f.cfg.Trial.Of(expr.OfPedal)
	if f.planner = f.pedaller.Pedal(f.profile); f.planner != nil {
		f.heedMark()
	}
}

// start has the foot hear a note begin.
//
// The melody that it hears is what moves over a chord; the top of a chord is of the chord.
func (f *pedal) start(n *expr.Note, tone int64) {
	if f.planner == nil {
		return
	}
	short := n.Marks&(expr.Staccato|expr.Staccatissimo) != 0
	f.ask(func(p *pedalling.Planner) {
		p.Advise(n.Foot)
		p.Begins(f.now - (n.Shift - n.Warp))
		p.Note(f.now, int(n.Key), int(n.Velocity), n.Length, n.ToNext, short, n.Role == expr.Melody && f.line.StruckAlone(tone))
	})
	f.move()
}

// written has the foot hear that a note ends as it is written.
func (f *pedal) written(key uint8, tone int64) {
	if f.planner == nil {
		return
	}
	at := f.now
	if t := f.line.Tone(tone); t != nil {
		at -= t.Shift - t.Warp
	}
	f.ask(func(p *pedalling.Planner) { p.Written(at, int(key)) })
}

// stop has the foot hear a note end.
func (f *pedal) stop(key uint8) {
	if f.planner != nil {
		f.ask(func(p *pedalling.Planner) { p.Off(f.now, int(key)) })
		f.move()
	}
}

// mark has the foot follow the notation program's own pedal, which the sampler is told too.
func (f *pedal) mark(value int) {
	if f.planner != nil {
		f.ask(func(p *pedalling.Planner) { p.Marked(f.now, value >= 64) })
		f.move()
		f.told = value
	}
}

// ask has the planner, if there is one, do or tell something. One that fails costs the
// part its foot.
func (f *pedal) ask(do func(*pedalling.Planner)) {
	if f.planner != nil {
		defer f.lose()
		f.cfg.Trial.Of(expr.OfPedal)
		do(f.planner)
	}
}

// lose is deferred where a foot is asked what it does: one that fails comes up.
func (f *pedal) lose() {
	r := recover()
	if r == nil {
		return
	}
	f.fault = expr.OfPedal.Loss(r)
	f.planner = nil
	f.giveBack()
	if !f.in.pedal {
		f.endHeld()
	}
}

// move does what the foot has to do by now, and has it looked at again when it has more.
func (f *pedal) move() {
	for {
		depth, ok := 0.0, false
		f.ask(func(p *pedalling.Planner) { _, depth, ok = p.Pull(f.now) })
		if !ok {
			break
		}
		if value := int(math.Round(depth * 127)); value != f.told {
			f.told = value
			f.send(0xB0, expr.CCDamper, byte(value))
		}
		if f.held = depth > 0; !f.held && !f.in.pedal {
			f.endHeld()
			f.settle()
		}
	}
	if f.planner == nil { // who plays may have changed when the pedal let go of the last note
		return
	}
	at, ok := time.Duration(0), false
	f.ask(func(p *pedalling.Planner) { at, ok = p.Next() })
	if !ok {
		f.look = expr.Unknown
		return
	}
	if at = max(at, f.now+time.Millisecond); f.look == expr.Unknown || f.look <= f.now || at < f.look {
		f.look = at
		f.put(at, deferred{part: f.index, what: pedals})
	}
}

// look is the time at which the foot was to be looked at, if it has not been put off or forward since.
func (f *pedal) lookedAt(at time.Duration) {
	if at == f.look {
		f.look = expr.Unknown
		f.move()
	}
}

// lift has the foot come up, as at a stop.
func (f *pedal) lift() {
	if f.planner != nil {
		f.ask(func(p *pedalling.Planner) { p.Reset(f.now) })
		f.heedMark()
		f.move()
	}
}

// heedMark tells a foot that knows nothing yet that the notation holds the pedal down.
func (f *pedal) heedMark() {
	if f.in.pedal {
		f.ask(func(p *pedalling.Planner) { p.Marked(f.now, true) })
	}
}

// giveBack leaves the pedal to what came in.
func (f *pedal) giveBack() {
	f.lift()
	if value := max(f.in.Said(expr.CCDamper), 0); f.told != expr.Unknown && f.told != value {
		f.send(0xB0, expr.CCDamper, byte(value))
	}
	f.free()
}
