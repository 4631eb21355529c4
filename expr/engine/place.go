package engine

import (
	"swellbox/expr"
)

// SetPlace has a channel stand as in a hall or a studio from now on. What sounds
// moves there gradually, by its level controller; what is carried by velocity
// follows with its next note. A channel that the engine does not have is left alone.
func (e *Engine) SetPlace(port, channel int, s expr.Place) {
	if port < 0 || port >= e.cfg.Ports || channel < 0 || channel > 15 {
		return
	}
	p := &e.parts[port*16+channel]
	if p.place == s {
		return
	}
	p.place = s
	if p.shaped && len(p.notes) > 0 {
		e.wake(p)
	}
}

// Place is how a channel stands.
func (e *Engine) Place(port, channel int) expr.Place { return e.parts[port*16+channel].place }

// weightDB is the weight of a note in the place that its part stands in.
func (p *part) weightDB(g *expr.Gesture) float64 {
	if p.place == expr.Studio {
		return 0
	}
	return g.HallDB
}
