package perform

import (
	"swellbox/expr"
	"swellbox/expr/meter"
)

// gauges read both performances as they leave the engine, whichever reaches the port.
type gauges struct{ raw, shaped *meter.Meter }

func (g *gauges) take(e *expr.Event) {
	if e.Side&expr.Raw != 0 {
		g.raw.Take(e)
	}
	if e.Side&expr.Shaped != 0 {
		g.shaped.Take(e)
	}
}

func (g *gauges) seat(port, channel int, p *expr.Profile) {
	g.raw.Seat(port, channel, p)
	g.shaped.Seat(port, channel, p)
}

// silence hears that a port's notes are ended otherwise than by their own ends.
func (g *gauges) silence(port int) {
	g.raw.Silence(port)
	g.shaped.Silence(port)
}
