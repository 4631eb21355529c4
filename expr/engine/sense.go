package engine

import (
	"swellbox/expr"
)

// SetSense has a channel stand as in a hall or a studio from now on. What sounds
// moves there gradually, by its level controller; what is carried by velocity
// follows with its next note. A channel that the engine does not have is left alone.
func (e *Engine) SetSense(port, channel int, s expr.Sense) {
	if port < 0 || port >= e.cfg.Ports || channel < 0 || channel > 15 {
		return
	}
	p := &e.parts[port*16+channel]
	if p.sense == s {
		return
	}
	p.sense = s
	if p.shaped && len(p.notes) > 0 {
		e.wake(p)
	}
}

// Sense is how a channel stands.
func (e *Engine) Sense(port, channel int) expr.Sense { return e.parts[port*16+channel].sense }

// weightDB is the weight of a note in the sense that its part stands in.
func (p *part) weightDB(g *expr.Gesture) float64 {
	if p.sense == expr.Studio {
		return 0
	}
	return g.HallDB
}
