package proxy

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
)

// Moved is one controller that a part's player moves, and how that meets what the file moves there.
type Moved struct {
	What       string `json:"what"`       // "level", "vibrato", "brightness", …
	Controller int    `json:"controller"` // 1..119; 0 for the pitch bend
	InFile     string `json:"in_file"`    // empty where the file does not move it; else "added", "dropped", or "kept", where ours stays off
}

// use is the controllers that a channel of a file moves away from where they rest.
type use [2]uint64

func (u *use) take(e *expr.Event) {
	if e.Msg[0]&0xF0 == 0xB0 && int(e.Msg[2]) != expr.Rest(int(e.Msg[1])) {
		u[e.Msg[1]/64] |= 1 << (e.Msg[1] % 64)
	}
}

func (u *use) has(number int) bool { return u[number/64]>>(number%64)&1 != 0 }

// uses are what each channel of a timeline moves; port*16+channel.
func (t *Timeline) uses() []use {
	all := make([]use, t.Ports*16)
	for i := range t.Events {
		if e := &t.Events[i]; e.IsChannel() {
			all[int(e.Port)*16+e.Channel()].take(e)
		}
	}
	return all
}

// expect tells the engine which controllers a timeline will move.
func (s *Stage) expect(uses []use) {
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
func moved(p *expr.Profile, file *use) []Moved {
	all := []Moved{}
	if !p.Amounts.Any() {
		return all
	}
	player := &p.Player
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
	add("level", &player.Level, player.Incoming.Level, true)
	if player.BendVibrato && vibrato {
		all = append(all, Moved{What: "vibrato"})
	} else {
		add("vibrato", &player.VibratoDepth, player.Incoming.Vibrato, vibrato)
	}
	add("vibrato rate", &player.VibratoRate, expr.Replace, vibrato)
	add("vibrato delay", &player.VibratoDelay, expr.Replace, vibrato)
	add("brightness", &player.Brightness, player.Incoming.Brightness, player.BrightPerDB != 0)
	return all
}

// meetings are warnings of the controllers that a file moves already, on which the players' moves
// are not heard, or the file's are not: each once, with the parts that it is about.
func meetings(parts []PartReport) []string {
	type meeting struct {
		Moved
		parts []string
	}
	var all []meeting
	for i := range parts {
		for _, m := range parts[i].Controllers {
			if m.InFile == "" || m.InFile == "added" {
				continue
			}
			at := slices.IndexFunc(all, func(o meeting) bool { return o.Moved == m })
			if at < 0 {
				at = len(all)
				all = append(all, meeting{Moved: m})
			}
			all[at].parts = append(all[at].parts, parts[i].Name)
		}
	}
	var texts []string
	for _, m := range all {
		who := strings.Join(m.parts[:min(len(m.parts), 3)], ", ")
		if n := len(m.parts) - 3; n > 0 {
			who += fmt.Sprintf(" and %d more", n)
		}
		text := fmt.Sprintf("the file moves controller %d already (%s), ", m.Controller, who)
		switch m.InFile {
		case "kept":
			text += fmt.Sprintf("so the players' %s stays off it there", m.What)
			if m.Controller == 1 {
				text += "; if it is dynamics to your sampler, try --controller-map dynamics-on-1"
			}
		default:
			text += fmt.Sprintf("which is dropped for the players' %s", m.What)
		}
		texts = append(texts, text)
	}
	return texts
}

// ringing is how long after the last note the controllers stay where they are: releases and
// rooms die away meanwhile, and would be heard to grow. Ours.
const ringing = 2 * time.Second

// giveBack has every controller that the players moved go back to where the file has it, or to
// where it rests, when the last note has died away.
func (s *Stage) giveBack(lag time.Duration) {
	s.Pull(s.now + lag + ringing)
	for _, p := range s.Parts {
		_ = s.Seat(p.Port, p.Channel, nil, 0) // it has that channel
	}
	s.Pull(s.now + ringing) // the level moves there step by step
}
