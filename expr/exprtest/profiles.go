// Package exprtest has what the tests of expr and its rooms share: profiles close to the
// built-in ones, and events.
package exprtest

import (
	"slices"
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
		Name:     name,
		Players:  1,
		Amounts:  expr.Amounts{}.With("marks", 1).With("orchestra_weight", 1),
		Dynamics: expr.Dynamics{Reading: Marks, Carrier: expr.CarryController},
		Weight:   expr.Weight{ShareDB: share, FromDB: -8.4, ToDB: 4.2},
		Sampler: expr.Sampler{
			Velocity: expr.StandardLaw(),
			Level:    expr.Control{Number: 11, Response: expr.StandardLaw()},
		},
	}
}

// Trumpet is brass: it brightens.
func Trumpet() *expr.Profile {
	p := Sustaining("trumpet", 3.01)
	p.Sampler.Brightness = expr.Control{Number: 74, Response: MustCurve(at(0, -12), at(64, 0), at(127, 12))}
	p.Sampler.BrightPerDB = 0.85
	return p
}

// Violins is a section of strings with vibrato.
func Violins() *expr.Profile {
	p := Sustaining("violins", 0)
	p.Players = 12
	p.Amounts = p.Amounts.With("bloom", 1).With("vibrato", 1)
	p.Bloom = expr.Bloom{SwellDB: 1.5, Swell: 600 * time.Millisecond, DecayDBPerS: 1, DecayLimitDB: 1}
	p.Vibrato = expr.Vibrato{
		LowPitch: 55, HighPitch: 88, DepthLow: 40, DepthHigh: 108, RateLow: 5.7, RateHigh: 6.3,
		DepthPerDB: 0.02, Onset: 200 * time.Millisecond, Growth: 600 * time.Millisecond,
		SlurGap: 420 * time.Millisecond, OpenStrings: []uint8{55},
	}
	p.Sampler.VibratoDepth = expr.Control{Number: 1, Response: MustCurve(at(0, 0), at(127, 100))}
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
		Amounts:  expr.Amounts{}.With("marks", 1),
		Dynamics: expr.Dynamics{Reading: MustCurve(pts...), Carrier: expr.CarryVelocity},
		Sampler:  expr.Sampler{Velocity: law, Level: expr.Control{Number: 11, Response: expr.StandardLaw()}},
	}
}

// Plain has every habit off.
func Plain() *expr.Profile {
	p := Violins()
	p.Name = "plain"
	p.Amounts = expr.Amounts{}
	return p
}

// Bending is violins whose vibrato is drawn with pitch bend.
func Bending() *expr.Profile {
	p := Violins()
	p.Name = "bending"
	p.Sampler.VibratoDepth = expr.Control{}
	p.Sampler.BendVibrato = true
	return p
}

// Having gives a player so much of a habit.
func Having(key string, amount float64) func(*expr.Profile) {
	return func(p *expr.Profile) { p.Amounts.Set(key, amount) }
}

// Musical gives a player so much of every one of some habits that makes music of a note, beside those that
// the profile has of its own.
func Musical(amount float64, of []*expr.About) func(*expr.Profile) {
	return func(p *expr.Profile) {
		for _, a := range of {
			if !a.Own && !a.All && !slices.Contains(others, a.Key) {
				p.Amounts.Set(a.Key, amount)
			}
		}
		p.Bloom.LongNotes = amount
		p.Breath = expr.Breath{LoudLength: 6 * time.Second, SoftLength: 12 * time.Second, Gap: 250 * Thousandth}
	}
}

// others are habits that not every player has: a bow stands in the place of phrases and accents, and
// timing and pedal come with what else they need, by [Unsteady] and [Pedalling].
var others = []string{"bow", "pedal", "together"}

// Unsteady gives a player so much of the habit of standing in time as people do.
func Unsteady(amount float64, t expr.Together) func(*expr.Profile) {
	return func(p *expr.Profile) {
		p.Amounts.Set("together", amount)
		p.Together = t
	}
}

// Pedalling gives a player so much of the habit of pedalling.
func Pedalling(amount float64, pedal expr.Pedal) func(*expr.Profile) {
	return func(p *expr.Profile) {
		p.Amounts.Set("pedal", amount)
		p.Pedal = pedal
	}
}
