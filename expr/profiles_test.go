package expr

import "time"

// Profiles for the tests of this package, close to the built-in ones.

func mustCurve(points ...Point) *Curve {
	c, err := NewCurve(points...)
	if err != nil {
		panic(err)
	}
	return c
}

// marks: velocities of dynamic marks, common practice, no published source.
var marks = mustCurve(Point{1, -30}, Point{16, -17}, Point{33, -12.6}, Point{49, -8.4}, Point{64, -4.2},
	Point{80, 0}, Point{96, 4.2}, Point{112, 8}, Point{127, 9.5})

func sustaining(name string, share float64) *Profile {
	return &Profile{
		Name:      name,
		Players:   1,
		Dynamics:  Dynamics{K: 1, Reading: marks, Carrier: CarryController},
		Weighting: Weighting{K: 1, ShareDB: share, FromDB: -8.4, ToDB: 4.2},
		Player: Player{
			Velocity: StandardLaw(),
			Level:    Control{Number: 11, Response: StandardLaw()},
		},
	}
}

func trumpet() *Profile {
	p := sustaining("trumpet", 3.01)
	p.Player.Brightness = Control{Number: 74, Response: mustCurve(Point{0, -12}, Point{64, 0}, Point{127, 12})}
	p.Player.BrightPerDB = 0.85
	return p
}

func violins() *Profile {
	p := sustaining("violins", 0)
	p.Players = 12
	p.Sustain = Sustain{K: 1, SwellDB: 1.5, Swell: 600 * time.Millisecond, DecayDBPerS: 1, DecayLimitDB: 1}
	p.Vibrato = Vibrato{
		K: 1, LowPitch: 55, HighPitch: 88, DepthLow: 40, DepthHigh: 108, RateLow: 5.7, RateHigh: 6.3,
		DepthPerDB: 0.02, Onset: 200 * time.Millisecond, Growth: 600 * time.Millisecond,
		SlurGap: 420 * time.Millisecond, OpenStrings: []uint8{55},
	}
	p.Player.VibratoDepth = Control{Number: 1, Response: mustCurve(Point{0, 0}, Point{127, 100})}
	return p
}

func piano() *Profile {
	law := StandardLaw()
	var pts []Point
	for v := 1.0; v <= 127; v++ {
		pts = append(pts, Point{v, law.At(v) - law.At(80)})
	}
	return &Profile{
		Name: "piano", Players: 1,
		Dynamics: Dynamics{K: 1, Reading: mustCurve(pts...), Carrier: CarryVelocity},
		Player:   Player{Velocity: law, Level: Control{Number: 11, Response: StandardLaw()}},
	}
}

// plain has every rule off.
func plain() *Profile {
	p := violins()
	p.Name = "plain"
	p.Dynamics.K, p.Sustain.K, p.Weighting.K, p.Vibrato.K = 0, 0, 0, 0
	return p
}

func bending() *Profile {
	p := violins()
	p.Name = "bending"
	p.Player.VibratoDepth = Control{}
	p.Player.BendVibrato = true
	return p
}
