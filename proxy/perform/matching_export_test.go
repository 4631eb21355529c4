package perform

import (
	"swellbox/expr"
	"swellbox/profiles/names"
)

// LouderDB is by how much one performance is modelled to be louder than another of the same parts.
func LouderDB(c *Cast, ports int, hints []names.Hint, a, b []expr.Event) (float64, error) {
	m := newMatching(ports, new(colours))
	for _, h := range hints {
		part, profile, err := c.Choose(h)
		if err != nil {
			return 0, err
		}
		m.seat(part.Port, part.Channel, profile)
	}
	var loud [2]float64
	for i, events := range [][]expr.Event{a, b} {
		one := newMatching(ports, new(colours))
		one.weights, one.sides[0] = m.weights, m.sides[0]
		for _, e := range events {
			e.Side = expr.Raw
			one.take(&e)
		}
		loud[i], _ = one.sides[0].loudness()
		m.sides[0] = m.sides[1] // fresh, for the other
	}
	return loud[0] - loud[1], nil
}
