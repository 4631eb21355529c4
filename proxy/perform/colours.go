package perform

import (
	"swellbox/expr/acoustics"
	"swellbox/expr/habits"
)

// colours know by how much more of an instrument a meter has than the ear, against a horn, dB: the levels
// that are measured of samplers are those of the ear.
type colours struct {
	scene *acoustics.Scene // nil until somebody is met
	known map[*acoustics.Instrument]float64
}

// of is the colour of an instrument, 0 of one that the model does not know. The first time it takes a
// millisecond.
func (c *colours) of(in *acoustics.Instrument) float64 {
	if in == nil {
		return 0
	}
	if c.scene == nil {
		c.scene, c.known = acoustics.NewScene(habits.UsualPlace()), map[*acoustics.Instrument]float64{}
	}
	db, ok := c.known[in]
	if !ok {
		horn, _ := acoustics.Lookup("horn")
		db = c.overStrength(in) - c.overStrength(horn)
		c.known[in] = db
	}
	return db
}

func (c *colours) overStrength(in *acoustics.Instrument) float64 {
	src := acoustics.Source{Instrument: in, Players: 1, Seat: acoustics.Seatings()[0].Seat(in)}
	return c.scene.OverStrengthDB(&src, nil)
}
