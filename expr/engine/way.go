package engine

import "swellbox/expr"

// way is a way of playing that is on, and what follows from it. Its zero value is raw.
type way struct {
	profile  *expr.Profile // nil before anybody was seated
	shaped   bool          // some habit is on, and none has failed; else the part is raw
	vibrates bool
	mfDB     float64        // where this instrument's mf lies when shaped, dB re full
	rawLaw   *expr.Curve    // velocity to dB re full of the raw performance
	fixedVel uint8          // velocity under CarryController
	measured *expr.Measured // never nil
}

// newWay is the way of playing of a profile.
func newWay(profile *expr.Profile, headroomDB float64) way {
	w := way{profile: profile, shaped: true, vibrates: vibrates(profile), rawLaw: profile.Sampler.Velocity, fixedVel: profile.Sampler.FixedVelocity, measured: profile.Sampler.Measured}
	if w.rawLaw == nil || profile.Sampler.Measured != nil {
		w.rawLaw = standardLaw
	}
	if w.measured == nil {
		w.measured = &unmeasured
	}
	if w.fixedVel == 0 {
		w.fixedVel = defaultFixedVelocity
	}
	w.mfDB = w.rawLaw.At(profile.Dynamics.Reading.Invert(0)) - headroomDB
	return w
}

// defaultFixedVelocity is what a player that answers to velocity gets where the
// controller carries the level: between f and ff, so that most levels are reached
// from above. Ours, not published.
const defaultFixedVelocity = 100

var unmeasured expr.Measured

var standardLaw = expr.StandardLaw()

// vibrates reports whether the players of a profile have a vibrato.
func vibrates(profile *expr.Profile) bool { return profile.Amounts.Of(expr.KeyVibrato) != 0 }
