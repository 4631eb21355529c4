package engine

import (
	"fmt"

	"swellbox/expr"
	"swellbox/expr/beat"
)

// Fault returns what failed of a channel, or nil: why it fell back to raw, and which
// knowledge of it is lost.
func (e *Engine) Fault(port, channel int) error {
	p := &e.parts[port*16+channel]
	return expr.InOne(p.fault, e.listener.Fault(int(p.index)), p.pedalFault, p.timingFault)
}

// Raw reports whether a channel has fallen back to raw.
func (e *Engine) Raw(port, channel int) bool { return e.parts[port*16+channel].fault != nil }

// Lost returns which knowledge of all parts is lost, or nil.
func (e *Engine) Lost() error {
	return expr.InOne(e.listener.Lost(), e.transportFault, e.rubatoFault)
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

// rescue is deferred where a part does something, with an event in hand or with none (nil). Should
// that fail, the part is raw from then on, and the event comes out as it is.
func (e *Engine) rescue(p *part, ev *expr.Event) {
	r := recover()
	if r == nil {
		return
	}
	e.giveUp(p, r)
	if ev != nil {
		e.emit(ev, expr.Both&^e.said)
	}
}

// giveUp makes a part raw that has failed. Its notes are ended first, which is sure; giving
// its controllers back may fail as well, and then they stay where they are.
func (e *Engine) giveUp(p *part, reason any) {
	if p.fault == nil {
		p.fault = fmt.Errorf("shaping failed: %v; the part plays raw", reason)
	}
	e.dropNotes(p)
	p.next, p.early = nil, [128]uint8{}
	defer func() {
		if recover() != nil {
			p.shaped, p.sent = false, nothingSent
		}
	}()
	if p.shaped {
		e.bypass(p)
	} else {
		p.sent = nothingSent // it failed on its way back
	}
}

// deafen is deferred where a part hears: one that fails to is raw from then on, and hears anew.
func (e *Engine) deafen(p *part) {
	if r := recover(); r != nil {
		e.giveUp(p, r)
		p.line.Reset()
	}
}

// undecide is deferred where it is decided when a player plays an event: one that fails to
// is in time.
func (e *Engine) undecide(p *part, w *waiting) {
	if r := recover(); r != nil {
		w.split, p.timingFault = false, expr.OfTiming.Loss(r)
	}
}

// losePedal is deferred where a foot is asked what it does: one that fails comes up.
func (e *Engine) losePedal(p *part) {
	r := recover()
	if r == nil {
		return
	}
	p.pedalFault = expr.OfPedal.Loss(r)
	p.pedal.planner = nil
	e.givePedalBack(p)
	if !p.in.pedal {
		p.releaseHeld()
	}
}

// Retry has all that failed be tried again, as for another piece: parts that fell back to raw
// play as they are seated, and what was lost is found out anew.
func (e *Engine) Retry() {
	e.listener.Retry()
	e.retry()
	e.planRubato()
	for i := range e.parts {
		p := &e.parts[i]
		raw := p.fault != nil
		e.forgive(p)
		if raw {
			e.tryPrepare(p)
		}
	}
}

func (e *Engine) retry() {
	if e.transportFault != nil {
		e.transport = beat.NewTransport(e.cfg.Ports)
	}
	e.transportFault, e.rubatoFault = nil, nil
}

func (e *Engine) tryPrepare(p *part) {
	defer e.rescue(p, nil)
	e.prepare(p, p.seated)
}

// forgive has a part try all again.
func (e *Engine) forgive(p *part) {
	p.fault, p.pedalFault, p.timingFault = nil, nil, nil
	e.listener.RetryPart(int(p.index))
}
