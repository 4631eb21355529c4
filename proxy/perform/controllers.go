package perform

import (
	"time"

	"swellbox/expr"
)

// Moved is one controller that a part moves, and how that meets what the file moves there.
type Moved struct {
	What       string `json:"what"`       // "level", "vibrato", "brightness", …
	Controller int    `json:"controller"` // 1..119; 0 for the pitch bend
	InFile     string `json:"in_file"`    // empty where the file does not move it; else "added", "dropped", or "kept", where ours stays off
}

// Use is the controllers that a channel of a file moves away from where they rest.
type Use [2]uint64

// Take looks at a channel message.
func (u *Use) Take(e *expr.Event) {
	if e.Msg[0]&0xF0 == 0xB0 && int(e.Msg[2]) != expr.Rest(int(e.Msg[1])) {
		u[e.Msg[1]/64] |= 1 << (e.Msg[1] % 64)
	}
}

func (u *Use) has(number int) bool { return u[number/64]>>(number%64)&1 != 0 }

// Expect tells the engine which controllers a file will move, on each channel (port*16+channel).
func (s *Stage) Expect(uses []Use) {
	s.uses = uses
	for i := range uses {
		for number := range 120 {
			if uses[i].has(number) {
				s.engine.Expect(i/16, i%16, number)
			}
		}
	}
}

// moved lists what a profile moves on a channel of which the file moves some.
func moved(p *expr.Profile, file *Use) []Moved {
	all := []Moved{}
	if !p.Amounts.Any() {
		return all
	}
	sampler := &p.Sampler
	add := func(what string, c *expr.Control, how expr.Combine, moves bool) {
		if !moves || !c.Has() || how == expr.Leave {
			return
		}
		m := Moved{What: what, Controller: c.Number}
		if file.has(c.Number) {
			m.InFile = map[expr.Combine]string{expr.Multiply: "added", expr.Replace: "dropped", expr.GiveWay: "kept"}[how]
		}
		all = append(all, m)
	}
	vibrato := p.Amounts.Of(expr.KeyVibrato) != 0
	add("level", &sampler.Level, sampler.Incoming.Level, true)
	if sampler.BendVibrato && vibrato {
		all = append(all, Moved{What: "vibrato"})
	} else {
		add("vibrato", &sampler.VibratoDepth, sampler.Incoming.Vibrato, vibrato)
	}
	add("vibrato rate", &sampler.VibratoRate, expr.Replace, vibrato)
	add("vibrato delay", &sampler.VibratoDelay, expr.Replace, vibrato)
	add("brightness", &sampler.Brightness, sampler.Incoming.Brightness, sampler.BrightPerDB != 0)
	return all
}

// ringing is how long after the last note the controllers stay where they are: releases and
// rooms die away meanwhile, and would be heard to grow. Ours.
const ringing = 2 * time.Second

// GiveBack has every controller that we moved go back to where the file has it, or to
// where it rests, when the last note has died away.
func (s *Stage) GiveBack(lag time.Duration) {
	s.Pull(s.now + lag + ringing)
	for _, p := range s.Parts {
		_ = s.Seat(p.Port, p.Channel, nil, 0) // it has that channel
	}
	s.Pull(s.now + ringing) // the level moves there step by step
}
