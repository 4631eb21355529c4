package habits

import (
	"math"
	"time"

	"swellbox/expr"
)

// ColourNotes brings out remarkable notes and chords: a note the more, the more remote it is from
// the root of its chord, and all notes of a chord the more, the more remote that is from the
// key. Remote notes that are parted from the next also sound a little longer.
//
// The published amounts only add. Ours are centred, so that no line is lifted as a whole:
// notes on the mean of the twelve charges, chords half-way from the tonic chord to the
// dominant. The sum is held within 3 dB.
//
// Foreknowledge: none is needed for the level, as far as chord and key have been found; a note
// is lengthened only where its end and the next onset are known.
//
// Source: A. Friberg, "Generative rules for music performance", Computer Music Journal 15(2)
// (1991) 56-71, from memory; the harmonic one with little confidence.
type ColourNotes struct{}

// melodicCharges are by semitones above the chord's root (Friberg 1991, from memory).
var melodicCharges = [12]float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}

const (
	melodicChargeDB     = 0.2    // per unit of charge
	melodicChargeLonger = 0.0067 // of the length, per unit of charge
	harmonicChargeDB    = 1.5    // times the root of the charge
	meanMelodicCharge   = 43.5 / 12
	usualHarmonyDB      = 0.75 // half of a dominant's, whose charge is 1
	maxChargeDB         = 3
)

// Name is the rule's name in counts and reports.
func (ColourNotes) Name() string { return "charge" }

// Shape adds level and length.
func (ColourNotes) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Profile.Habits.Charge
	if k == 0 || n.Root < 0 {
		return false
	}
	charge := melodicCharges[(int(n.Key)+12-n.Root%12)%12]
	db := melodicChargeDB * (charge - meanMelodicCharge)
	if n.Tonic >= 0 {
		db += harmonicChargeDB*math.Sqrt(max(n.Charge, 0)) - usualHarmonyDB
	}
	g.NuanceDB += min(max(k*db, -maxChargeDB), maxChargeDB)
	if length := g.Lasts(n); g.Detached(n) && n.ToNext > 0 {
		longer := float64(length) * (1 + k*melodicChargeLonger*charge)
		g.Sounding = min(time.Duration(longer), n.ToNext)
	}
	return true
}
