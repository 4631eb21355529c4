package engine

import (
	"fmt"

	"swellbox/expr"
)

// lost is what failed of a part, or nil.
func (p *part) lost() error {
	return expr.InOne(p.fault, p.listener.Fault(int(p.sampler.index)), p.pedal.fault, p.timing.fault)
}

// rescue is deferred where a part does something, with an event in hand or with none (nil). Should
// that fail, the part is raw from then on, and the event comes out as it is.
func (p *part) rescue(in *input) {
	r := recover()
	if r == nil {
		return
	}
	p.giveUp(r)
	if in != nil {
		in.emit(expr.Both &^ in.said)
	}
}

// deafen is deferred where a part hears: one that fails to is raw from then on, and hears anew.
func (p *part) deafen() {
	if r := recover(); r != nil {
		p.giveUp(r)
		p.notes.line.Reset()
	}
}

// giveUp makes a part raw that has failed. Its notes are ended first, which is sure; giving
// its controllers back may fail as well, and then they stay where they are.
func (p *part) giveUp(reason any) {
	if p.fault == nil {
		p.fault = fmt.Errorf("shaping failed: %v; the part plays raw", reason)
	}
	p.notes.drop()
	p.notes.next, p.notes.early = nil, [128]uint8{}
	s := &p.sampler
	defer func() {
		if recover() != nil {
			s.shaped, s.sent = false, nothingSent
		}
	}()
	if s.shaped {
		p.bypass()
	} else {
		s.sent = nothingSent // it failed on its way back
	}
}

// tryMove is move, and makes the part raw should it fail.
func (p *part) tryMove() (moving bool) {
	defer p.rescue(nil)
	moving = true
	moving = p.move()
	return moving
}

// tryPrepare is prepare, by the profile by which the part is seated.
func (p *part) tryPrepare() {
	defer p.rescue(nil)
	p.prepare(p.seated)
}

// take seats the part.
func (p *part) take(s *seating) {
	p.forgive()
	p.seated, p.players = s.profile, s.players
	p.tryPrepare()
}

// forgive has a part try all again.
func (p *part) forgive() {
	p.fault, p.pedal.fault, p.timing.fault = nil, nil, nil
	p.listener.RetryPart(int(p.sampler.index))
}
