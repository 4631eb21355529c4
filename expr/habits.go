package expr

import (
	"time"
)

// Habits are the quantities of the rules of musicianship, each 0 off, 1 as published,
// at most 2, with what they need to know of the instrument. The amounts that are
// published stand with the rules.
type Habits struct {
	Phrase   float64 // phrase arch of level
	HighLoud float64 // the higher the louder
	Contrast float64 // short notes shorter and softer
	Accent   float64 // melodic accents
	Metre    float64 // metric accents and those of groups
	Charge   float64 // melodic and harmonic charge
	LongNote float64 // messa di voce
	Hairpin  float64 // steps of level joined to lines
	Voicing  float64 // the melody over the other voices of a part
	Yield    float64 // the accompaniment steps back behind the tune

	Articulation Articulation
	Breath       Breath
	Timing       Timing
	Pedal        Pedal
}

// Articulation is how notes are joined and parted.
type Articulation struct {
	K float64
}

// Breath is how long the player can go on without a breath or a change of bow, at
// forte and at piano (between and beyond by a straight line in dB, held at the ends).
// Zero lengths: the player never needs one.
type Breath struct {
	K          float64
	LoudLength time.Duration // of a breath or bow at forte
	SoftLength time.Duration // and at piano
	Gap        time.Duration // silence or dip that a breath or a change of bow makes
	Bow        bool          // it is a bow: the gap is a dip of level, not a silence
}

// Timing is how the player stands in time: microtiming about the ensemble's beat, and
// the time that a hammer takes.
type Timing struct {
	K      float64
	SD     time.Duration // standard deviation of one player's onsets
	Hammer bool          // the travel time of a hammer makes louder notes earlier
}

// Pedal is what the player's foot does where the notation has no pedal marks.
type Pedal struct {
	K    float64
	Kind PedalKind
	Half bool // the sample player answers to half a pedal
}

// PedalKind says what a pedal, or the hand in its place, damps.
type PedalKind uint8

const (
	NoPedal      PedalKind = iota
	PianoPedal             // legato pedalling by harmony
	HarpDamping            // strings ring until the hands damp them, at a change of harmony or a rest
	CelestaPedal           // as the piano's, changed more seldom
	BarPedal               // of the vibraphone: down through a phrase, changed with the harmony
)

// active reports whether any habit is on.
func (h *Habits) active() bool {
	return h.Phrase != 0 || h.HighLoud != 0 || h.Contrast != 0 || h.Accent != 0 || h.Metre != 0 ||
		h.Charge != 0 || h.LongNote != 0 || h.Hairpin != 0 || h.Voicing != 0 || h.Yield != 0 ||
		h.Articulation.K != 0 || h.Breath.K != 0 || h.Timing.K != 0 || h.Pedal.K != 0
}
