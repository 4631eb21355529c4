// Package exprtest has what the tests of expr and its rooms share: profiles close to the
// built-in ones, and events.
package exprtest

import (
	"time"

	"swellbox/expr"
)

// Profiles for the tests of this package, close to the built-in ones.

// at is a knot of a curve.
func at(x, y float64) expr.Point { return expr.Point{X: x, Y: y} }

// MustCurve makes a curve that is known to be one.
func MustCurve(points ...expr.Point) *expr.Curve {
	c, err := expr.NewCurve(points...)
	if err != nil {
		panic(err)
	}
	return c
}

// Marks: velocities of dynamic marks, common practice, no published source.
var Marks = MustCurve(at(1, -30), at(16, -17), at(33, -12.6), at(49, -8.4), at(64, -4.2),
	at(80, 0), at(96, 4.2), at(112, 8), at(127, 9.5))

// Sustaining is an instrument whose level a controller carries, with a share of the weight in forte, dB.
func Sustaining(name string, share float64) *expr.Profile {
	return &expr.Profile{
		Name:      name,
		Players:   1,
		Dynamics:  expr.Dynamics{K: 1, Reading: Marks, Carrier: expr.CarryController},
		Weighting: expr.Weighting{K: 1, ShareDB: share, FromDB: -8.4, ToDB: 4.2},
		Player: expr.Player{
			Velocity: expr.StandardLaw(),
			Level:    expr.Control{Number: 11, Response: expr.StandardLaw()},
		},
	}
}

// Trumpet is brass: it brightens.
func Trumpet() *expr.Profile {
	p := Sustaining("trumpet", 3.01)
	p.Player.Brightness = expr.Control{Number: 74, Response: MustCurve(at(0, -12), at(64, 0), at(127, 12))}
	p.Player.BrightPerDB = 0.85
	return p
}

// Violins is a section of strings with vibrato.
func Violins() *expr.Profile {
	p := Sustaining("violins", 0)
	p.Players = 12
	p.Sustain = expr.Sustain{K: 1, SwellDB: 1.5, Swell: 600 * time.Millisecond, DecayDBPerS: 1, DecayLimitDB: 1}
	p.Vibrato = expr.Vibrato{
		K: 1, LowPitch: 55, HighPitch: 88, DepthLow: 40, DepthHigh: 108, RateLow: 5.7, RateHigh: 6.3,
		DepthPerDB: 0.02, Onset: 200 * time.Millisecond, Growth: 600 * time.Millisecond,
		SlurGap: 420 * time.Millisecond, OpenStrings: []uint8{55},
	}
	p.Player.VibratoDepth = expr.Control{Number: 1, Response: MustCurve(at(0, 0), at(127, 100))}
	return p
}

// Piano is struck: its velocity carries the level.
func Piano() *expr.Profile {
	law := expr.StandardLaw()
	var pts []expr.Point
	for v := 1.0; v <= 127; v++ {
		pts = append(pts, at(v, law.At(v)-law.At(80)))
	}
	return &expr.Profile{
		Name: "piano", Players: 1,
		Dynamics: expr.Dynamics{K: 1, Reading: MustCurve(pts...), Carrier: expr.CarryVelocity},
		Player:   expr.Player{Velocity: law, Level: expr.Control{Number: 11, Response: expr.StandardLaw()}},
	}
}

// Plain has every rule off.
func Plain() *expr.Profile {
	p := Violins()
	p.Name = "plain"
	p.Dynamics.K, p.Sustain.K, p.Weighting.K, p.Vibrato.K = 0, 0, 0, 0
	return p
}

// Bending is violins whose vibrato is drawn with pitch bend.
func Bending() *expr.Profile {
	p := Violins()
	p.Name = "bending"
	p.Player.VibratoDepth = expr.Control{}
	p.Player.BendVibrato = true
	return p
}

// Habits has every habit of rules that act on a note at one quantity.
func Habits(k float64) expr.Habits {
	return expr.Habits{
		Phrase: k, HighLoud: k, Contrast: k, Accent: k, Metre: k, Charge: k, LongNote: k, Hairpin: k, Voicing: k, Yield: k,
		Articulation: expr.Articulation{K: k},
		Breath:       expr.Breath{K: k, LoudLength: 6 * time.Second, SoftLength: 12 * time.Second, Gap: 250 * MS},
	}
}
