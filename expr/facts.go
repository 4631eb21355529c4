package expr

import "time"

// What habits must know of an instrument and its player beside their amounts.

// Bloom is how a held note moves after its start: a swell, then a decay; and how far a long
// note rises to its middle in their place, 0..2.
type Bloom struct {
	LongNotes    float64
	SwellDB      float64       // rise above the start's level, dB
	Swell        time.Duration // time to the top of the swell
	DecayDBPerS  float64       // fall after the top, dB a second
	DecayLimitDB float64       // where the fall ends, dB under the top
}

// Weight is the instrument's weight against the others in a hall. What
// the acoustic model knows follows the model; Registers is how far also in its
// weak and strong registers, 0..2. For what it does not know, the weight is none up to
// FromDB, ShareDB at ToDB, growing on at the same slope to one and a half times that.
type Weight struct {
	Registers float64
	ShareDB   float64 // dB at ToDB; positive for what dominates a forte
	FromDB    float64 // written level where it begins (piano), dB re mf
	ToDB      float64 // written level where ShareDB holds (forte), dB re mf
}

// Vibrato is depth and rate by register and dynamic, with its start. Depth is
// peak to peak in cents. Register runs from LowPitch to HighPitch (MIDI notes)
// and is linear in pitch, held beyond the ends.
type Vibrato struct {
	LowPitch, HighPitch float64
	DepthLow, DepthHigh float64       // cents, peak to peak, at mf
	RateLow, RateHigh   float64       // Hz, at mf
	DepthPerDB          float64       // relative change of depth per dB of written level re mf (0.02: 2 % a dB)
	RatePerDB           float64       // relative change of rate per dB
	Onset               time.Duration // straight tone before the vibrato begins
	Growth              time.Duration // from no vibrato to all of it
	SlurGap             time.Duration // straight tone at a slurred change, the end of the note before it included
	LateOnset           time.Duration // straight tone before it on notes that are known to last over 1.2 s; 0: as on others
	Choice              float64       // how far notes are left straight as a soloist does: 0 none, 1 as measured
	OpenStrings         []uint8       // MIDI notes played without vibrato
}

// Breath is how long the player can go on without a breath or a change of bow, at
// forte and at piano (between and beyond by a straight line in dB, held at the ends).
// Zero lengths: the player never needs one.
type Breath struct {
	LoudLength time.Duration // of a breath or bow at forte
	SoftLength time.Duration // and at piano
	Gap        time.Duration // silence or dip that a breath or a change of bow makes
	Bow        bool          // it is a bow: the gap is a dip of level, not a silence
}

// Together is how the player stands in time: deviations from the ensemble's beat, and
// the time that a hammer takes.
type Together struct {
	SD     time.Duration // standard deviation of one player's onsets
	Chord  time.Duration // and of the notes of one chord about each other
	Hammer bool          // the travel time of a hammer makes louder notes earlier
}

// Pedal is what the player's foot can do where the notation has no pedal marks.
type Pedal struct {
	Kind PedalKind
	Half bool // the sampler answers to half a pedal
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
