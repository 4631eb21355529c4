package musicxml

import (
	"cmp"
	"slices"
	"strconv"

	"swellbox/expr"
)

// halfDown is the percentage from which a damper pedal counts as down: MIDI's 64 of 127.
const halfDown = 50

// damper is the pedal sign that a sound's damper-pedal stands for: yes, no, or a percentage.
func damper(text string) string {
	if x, err := strconv.ParseFloat(text, 64); text == "yes" || err == nil && x >= halfDown {
		return "start"
	}
	return "stop"
}

func (h *hand) pedal(m pedalMark) {
	switch m.kind {
	case "start", "sostenuto", "stop", "change", "discontinue", "resume":
		h.p.pedals = append(h.p.pedals, m)
		h.marks++
	}
}

// pressed are the pedals of the part as they are played. A pedal that is not lifted is held to
// the end.
func (p *part) pressed(order []played, end int64, c *clock) (pedals []Pedal) {
	byMeasure := map[int][]pedalMark{}
	for _, m := range p.pedals {
		byMeasure[m.measure] = append(byMeasure[m.measure], m)
	}
	var down *Pedal
	lift := func(at int64) {
		if down != nil && quarters(at) > down.Beat {
			down.Off, down.Length = c.time(at), quarters(at)-down.Beat
			pedals = append(pedals, *down)
		}
		down = nil
	}
	for _, o := range order {
		for _, m := range byMeasure[o.measure] {
			at := o.at + m.at
			again := down != nil && m.kind == "change"
			sostenuto := m.kind == "sostenuto" || again && down.Sostenuto
			lift(at)
			if again || m.kind == "start" || m.kind == "sostenuto" || m.kind == "resume" {
				down = &Pedal{On: c.time(at), Beat: quarters(at), Part: uint16(p.index), Sostenuto: sostenuto}
			}
		}
	}
	lift(end)
	return pedals
}

// signPedals adds to signs where damper pedals go down and up; one that goes up and down again
// at a place first goes up.
func signPedals(signs []expr.Sign, pedals []Pedal) []expr.Sign {
	if len(pedals) == 0 {
		return signs
	}
	n := len(signs)
	for _, p := range pedals {
		if !p.Sostenuto {
			signs = append(signs, expr.Sign{Beat: p.Beat + p.Length, Kind: expr.PedalUp}, expr.Sign{Beat: p.Beat, Kind: expr.PedalDown})
		}
	}
	up := func(s expr.Sign) int {
		if s.Kind == expr.PedalUp {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(signs[n:], func(a, b expr.Sign) int { return cmp.Or(cmp.Compare(a.Beat, b.Beat), cmp.Compare(up(a), up(b))) })
	slices.SortStableFunc(signs, func(a, b expr.Sign) int { return cmp.Compare(a.Beat, b.Beat) })
	return signs
}
