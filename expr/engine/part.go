package engine

import (
	"swellbox/expr"
	"swellbox/expr/channels"
)

// part is one channel: who plays it, what sounds, and the sampler. Whatever happens to it goes
// through its methods, which have the others do their share.
type part struct {
	*ensemble
	seat
	sampler sampler
	notes   notes
	pedal   pedal
	shaping shaping
	timing  partTiming
	counts  Counts
}

func (p *part) init(e *ensemble, index int) {
	p.ensemble = e
	p.sampler = sampler{ensemble: e, index: int32(index), standing: Standing{Place: e.cfg.Place}, sent: nothingSent, volume: volume{sent: expr.Unknown}}
	p.sampler.in.Clear(channels.Back)
	p.notes = notes{sampler: &p.sampler, line: e.listener.Line(index), ended: p.ended}
	p.pedal = pedal{notes: &p.notes, settle: p.settle}
	p.pedal.free()
	p.shaping.init(len(e.cfg.Habits))
	p.counts.Habits = p.shaping.did
}

// prepare has a part play by a profile from its next silence or note on.
func (p *part) prepare(profile *expr.Profile) {
	if profile == nil || !profile.Amounts.Any() || len(p.cfg.Habits) == 0 {
		p.notes.next = nil
		p.bypass()
		return
	}
	p.notes.next = profile
	p.advances = p.advances || attackOf(profile) > 0
	if profile.Touches() {
		p.listener.FollowTouch(int(p.sampler.index))
	}
	if profile.Pedal.Kind != expr.NoPedal {
		p.listener.FollowFoot(int(p.sampler.index))
	}
	if p.notes.changesWay() {
		p.notes.endDrawn(func(*sounding) bool { return true })
	}
	if len(p.notes.all) == 0 {
		p.takeNext()
	}
}

// preparer is a habit that has work to do for a profile before its first note.
type preparer interface{ Prepare(*expr.Profile) }

// takeNext takes up the way of playing that waits, if one does.
func (p *part) takeNext() {
	next := p.notes.next
	if next == nil {
		return
	}
	p.notes.next = nil
	for _, h := range p.cfg.Habits {
		if h, ok := h.(preparer); ok {
			h.Prepare(next)
		}
	}
	way := newWay(next, p.cfg.HeadroomDB)
	p.handOver(&way)
	p.sampler.way = way
	for i, about := range p.abouts {
		p.shaping.amounts[i] = next.Amounts.Of(about.Key)
	}
	p.pedal.take()
}

// handOver prepares a part for another way of playing: what both move on the
// same controllers stays where it is until the next note, the rest goes back to
// what came in.
func (p *part) handOver(next *way) {
	s := &p.sampler
	if s.profile == nil {
		return
	}
	was, will := &s.profile.Sampler, &next.profile.Sampler
	if s.shaped {
		p.pedal.giveBack()
		s.giveToneBack()
		if !next.measured.ByVolume {
			s.volume.giveBack(s)
		}
		if !s.movesDepth(next) || was.VibratoDepth.Number != will.VibratoDepth.Number {
			s.giveDepthBack()
		}
	}
	if was.Level.Number != will.Level.Number || was.Level.Fine != will.Level.Fine {
		s.levelDB = 0
		if s.sent.level != expr.Unknown {
			s.sendLevel()
		}
	}
	keep := s.sent.level
	s.sent = nothingSent
	s.sent.level = keep
}

// bypass makes a part raw and gives its controllers back to what came in, the
// level gradually.
func (p *part) bypass() {
	s := &p.sampler
	if !s.shaped {
		return
	}
	s.shaped, s.capDB = false, 0
	s.giveDepthBack()
	p.pedal.giveBack()
	s.giveToneBack()
	s.volume.giveBack(s)
	p.notes.drop()
	if s.sent.level != expr.Unknown {
		p.wake()
	}
}

// wake has the part looked at again a control period from now.
func (p *part) wake() { p.ensemble.wake(p.sampler.index, p.sampler.period()) }

// ended follows the end of a note.
func (p *part) ended(key uint8) {
	p.settle()
	p.pedal.stop(key)
}

// settle has what still sounds move to where it wants to be; and where nothing does, the way of
// playing that waits is taken up.
func (p *part) settle() {
	if len(p.notes.all) == 0 {
		p.takeNext()
	}
	if len(p.notes.all) > 0 || p.sampler.sent.bend != expr.Unknown {
		p.wake()
	}
}

// move brings the controllers of a part to where its sounding notes want them
// now, and reports whether any of them still moves.
func (p *part) move() (moving bool) {
	s := &p.sampler
	switch {
	case !s.shaped: // the gradual part of bypass
		return s.sent.level != expr.Unknown && s.slewTo(0)
	case len(p.notes.all) == 0:
		return s.straighten()
	}
	p.notes.line.Listen(p.now)
	level, brightness := p.notes.want()
	if s.movesLevel() && s.profile.Dynamics.Carrier != expr.CarryVelocity {
		moving = s.slewTo(level)
	}
	s.sendBrightness(brightness)
	if p.notes.vibrate(s.period()) {
		moving = true
	}
	return moving || p.notes.moving()
}

// stand has the part stand in a hall or a studio, and be so much louder in the hall than on its
// usual seat.
func (p *part) stand(s Standing) {
	if p.sampler.standing == s {
		return
	}
	p.sampler.standing = s
	if p.sampler.shaped && len(p.notes.all) > 0 {
		p.wake()
	}
}

// silence forgets the sounding notes, which somebody else has ended.
func (p *part) silence() {
	p.notes.all = p.notes.all[:0]
	p.sampler.in.pedal = false
	p.pedal.lift()
	p.notes.line.Silence()
	p.notes.early = [128]uint8{}
}

// play plays an event of the part now. Should that fail, the event comes out as it is.
func (p *part) play(in *input) {
	p.sampler.source = in.ev.Source
	defer p.rescue(in)
	if v := p.variantFor(in.ev); v != nil {
		p.prepare(v)
		in.emit(expr.Both)
		return
	}
	ev := in.ev
	switch {
	case ev.IsNoteOn() && p.passes(in.tone, p.notes.line.Tone(in.tone)):
		p.counts.Passed++
		in.emit(expr.Both)
	case ev.IsNoteOn():
		p.noteOn(in)
	case ev.IsNoteOff():
		p.pedal.written(ev.Msg[1], in.tone)
		p.notes.off(in)
	case ev.Len == 3 && ev.Msg[0]&0xF0 == 0xB0:
		p.control(in)
	case ev.Len == 3 && ev.Msg[0]&0xF0 == 0xE0:
		p.bend(in)
	default:
		in.emit(expr.Both)
	}
}
