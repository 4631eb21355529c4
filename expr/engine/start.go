package engine

import (
	"swellbox/expr"
)

// noteOn shapes a note and sends what it needs before it, then the note.
func (p *part) noteOn(in *input) {
	p.counts.Notes++
	p.takeNext()
	s := &p.sampler
	if !s.shaped {
		in.emit(expr.Both)
		return
	}
	key, velocity := in.ev.Msg[1], in.ev.Msg[2]
	p.shaping.perceive(in, s, p.players, p.notes.line)
	if fault := p.shaping.shape(p.ensemble); fault != nil {
		p.fault = fault
		p.bypass()
		in.emit(expr.Both)
		return
	}
	p.notes.makeWay(key, in.tone)
	note, gesture := &p.shaping.note, &p.shaping.gesture
	begun := sounding{gesture: *gesture, on: p.now, key: key, source: in.ev.Source, tone: in.tone, ceilingDB: p.cfg.CeilingDB}
	if s.profile.Sampler.Velocity != nil {
		begun.ceilingDB += note.RawDB
	}
	s.volume.send(s)
	out, carriedDB := s.carry(gesture, begun.ceilingDB, key, velocity, p.notes.joins())
	begun.carriedDB = carriedDB
	p.notes.outgrow(&begun)
	p.notes.begin(begun)
	level, brightness := p.notes.want()
	if s.movesLevel() {
		s.levelDB = level
	}
	s.sendLevel()
	s.sendBrightness(brightness)
	if len(p.notes.all) == 1 && !note.Slurred {
		s.depth = 0 // a new start is straight from its first moment
	}
	p.notes.vibrate(0)
	if out == velocity {
		in.emit(expr.Both)
	} else {
		played := *in.ev
		played.Msg[2] = out
		in.emit(expr.Raw)
		in.emitAs(&played, expr.Shaped)
	}
	p.wake()
	p.pedal.start(note, in.tone)
}
