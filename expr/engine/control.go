package engine

import (
	"swellbox/expr"
)

// control takes an incoming controller: one that the profile moves too is
// combined as the profile says, all others pass.
func (p *part) control(in *input) {
	number, value := int(in.ev.Msg[1]), int(in.ev.Msg[2])
	s := &p.sampler
	s.in.follow(number, value)
	if number == expr.CCDamper {
		p.pedal.mark(value)
	}
	p.combine(in, number)
	switch {
	case number == expr.CCDamper:
		if s.in.pedal = value >= 64; !s.in.pedal && !p.notes.held {
			p.notes.endHeld()
			p.settle()
		}
	case number == expr.CCSoundOff:
		p.notes.drop()
		p.pedal.lift()
		p.settle()
	case number == expr.CCReset:
		p.reset()
	case number >= expr.CCNotesOff:
		p.pedal.lift()
		p.notes.allOff()
		p.settle()
	}
}

// combine passes an incoming controller on, or moves ours by it.
func (p *part) combine(in *input, number int) {
	s := &p.sampler
	var answers *expr.Sampler
	if s.shaped {
		answers = &s.profile.Sampler
	}
	switch {
	case answers == nil:
		in.emit(expr.Both)
	case number == expr.CCVolume && s.volume.moves(s):
		in.emit(expr.Raw)
		s.volume.send(s)
	case isOf(&answers.Level, number) && s.movesLevel():
		in.emit(expr.Raw)
		if answers.Incoming.Level == expr.Multiply {
			s.sendLevel()
		}
	case isOf(&answers.VibratoDepth, number) && s.movesDepth(&s.way):
		in.emit(expr.Raw)
		p.notes.vibrate(0)
	case isOf(&answers.Brightness, number) && s.movesBrightness():
		in.emit(expr.Raw)
		if len(p.notes.all) > 0 {
			_, db := p.notes.want()
			s.sendBrightness(db)
		}
	default:
		in.emit(expr.Both)
		s.giveWay(number)
	}
}

// reset follows "reset all controllers", which sets expression to full and the
// vibrato depth to none in the sampler, and says ours again.
//
// Source: RP-015.
func (p *part) reset() {
	s := &p.sampler
	s.in.pedal = false
	was := s.sent
	if s.shaped {
		s.sent = nothingSent
		s.sent.range_ = was.range_ // RPN values survive, and so does the volume
		if was.level != expr.Unknown {
			s.sendLevel() // before all else: until then the sampler sounds at full
		}
	}
	p.pedal.lift()
	p.pedal.told = expr.Unknown
	p.notes.endHeld()
	if !s.shaped {
		return
	}
	if was.vibrato != expr.Unknown || was.bend != expr.Unknown {
		p.notes.vibrate(0)
	}
}

// bend takes an incoming pitch bend; where the vibrato is drawn with pitch bend,
// the two are added.
func (p *part) bend(in *input) {
	s := &p.sampler
	s.in.Take(in.ev)
	if !s.shaped || !s.profile.Sampler.BendVibrato || s.sent.bend == expr.Unknown {
		in.emit(expr.Both)
		return
	}
	in.emit(expr.Raw)
	p.notes.vibrate(0)
}
