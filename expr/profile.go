package expr

import (
	"time"

	"swellbox/expr/acoustics"
)

// Active reports whether any rule is on.
func (p *Profile) Active() bool {
	return p.Dynamics.K != 0 || p.Sustain.K != 0 || p.Weighting.K != 0 || p.Vibrato.K != 0 || p.Habits.active()
}

// Profile is how one instrument is played (dynamics, vibrato, weight in the
// ensemble) and how the sample player that sounds it answers (Player). All of it
// is in physical units; only Player knows controller numbers.
//
// A profile is read-only once an engine has it, and one profile may serve many
// parts. Each rule has its quantity K: 0 is off, 1 is as published, at most 2.
type Profile struct {
	Name    string // "violins", "trumpet"
	Family  string // "strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "other"
	Players int    // how many players the sound stands for: 1 for a solo, 12 for a section of twelve
	// Instrument is what the acoustic model knows of it; nil for what it does not know.
	Instrument *acoustics.Instrument
	Range      Range // where it plays; what is clearly outside passes as it comes
	Dynamics   Dynamics
	Sustain    Sustain
	Weighting  Weighting
	Vibrato    Vibrato
	Habits     Habits
	Player     Player
	Variants   []Variant // other ways of playing the same part, and what calls each
}

// Variant is one way of playing a part (sustained, short, plucked), which a keyswitch
// or a program change calls while the music plays. The profile's own way has a
// variant too, whose Profile is the profile itself, if something can call it back.
type Variant struct {
	Name      string
	Keyswitch int      // MIDI note that calls it and is itself not played as music; negative: none
	Program   int      // program 0..127 that calls it; negative: none
	Profile   *Profile // complete; its own Variants are not used
}

// Dynamics is the reading of the written dynamic: what a velocity from the
// notation program means.
type Dynamics struct {
	K       float64
	Reading *Curve  // velocity 1..127 to dB re the instrument's mf; rising
	Carrier Carrier // which message carries it to the sample player
}

// Carrier says which message carries the level to the sample player.
type Carrier uint8

const (
	CarryVelocity   Carrier = iota // the velocity alone; the level controller rests
	CarryController                // the level controller; the velocity stays at one value if the player answers to it
	CarryBoth                      // the velocity sets the note's start, the controller what moves after it
)

// Sustain is how a held note moves after its start: a swell, then a decay.
type Sustain struct {
	K            float64
	SwellDB      float64       // rise above the start's level, dB
	Swell        time.Duration // time to the top of the swell
	DecayDBPerS  float64       // fall after the top, dB a second
	DecayLimitDB float64       // where the fall ends, dB under the top
}

// Weighting is the instrument's weight against the others in the hall sense. What
// the acoustic model knows follows the model; RegisterK is how far also in its
// weak and strong registers, 0..2. For what it does not know, the weight is none up to
// FromDB, ShareDB at ToDB, growing on at the same slope to one and a half times that.
type Weighting struct {
	K         float64
	RegisterK float64
	ShareDB   float64 // dB at ToDB; positive for what dominates a forte
	FromDB    float64 // written level where it begins (piano), dB re mf
	ToDB      float64 // written level where ShareDB holds (forte), dB re mf
}

// Vibrato is depth and rate by register and dynamic, with its start. Depth is
// peak to peak in cents. Register runs from LowPitch to HighPitch (MIDI notes)
// and is linear in pitch, held beyond the ends.
type Vibrato struct {
	K                   float64
	LowPitch, HighPitch float64
	DepthLow, DepthHigh float64       // cents, peak to peak, at mf
	RateLow, RateHigh   float64       // Hz, at mf
	DepthPerDB          float64       // relative change of depth per dB of written level re mf (0.02: 2 % a dB)
	RatePerDB           float64       // relative change of rate per dB
	Onset               time.Duration // straight tone before the vibrato begins
	Growth              time.Duration // from no vibrato to all of it
	SlurGap             time.Duration // straight tone at a slurred change, the end of the note before it included
	OpenStrings         []uint8       // MIDI notes played without vibrato
}

// Player is how the sample player answers: the only place where the engine
// meets controller numbers.
type Player struct {
	Velocity      *Curve  // velocity 1..127 to dB re full; nil if velocity does not change the level
	FixedVelocity uint8   // what CarryController sends to a player that answers to velocity; 0 means 100
	Level         Control // value to dB re full
	Incoming      Incoming
	VibratoDepth  Control // value to cents, peak to peak
	VibratoRate   Control // value to Hz
	VibratoDelay  Control // value to ms
	BendVibrato   bool    // draw the vibrato with pitch bend; VibratoDepth is then unused
	BendRange     float64 // semitones each way, set by RPN 0 before the first bend; 0 means 2
	Brightness    Control // value to dB at 3 kHz re the mf spectrum
	BrightPerDB   float64 // dB of brightness per dB of level over mf
}

// Incoming says what becomes of a controller that the notation program sends
// on the same number as ours.
type Incoming struct {
	Level      Combine // on the level controller
	Vibrato    Combine // on the vibrato depth controller
	Brightness Combine // on the brightness controller
}

// Combine is one way in which an incoming controller meets ours.
type Combine uint8

const (
	// Multiply adds the two in the unit of the response: dB for a level, by the
	// standard's 40·log10(v/127), and for a brightness, cents for a vibrato depth.
	Multiply Combine = iota
	// Replace drops what came in: the profile owns the controller.
	Replace
	// Leave lets what comes in through and keeps ours off that controller.
	Leave
	// GiveWay has ours move the controller until the notation program moves it away from
	// where it rests; from then on the controller is the notation program's alone.
	GiveWay
)

// Control is one controller of the sample player with its response.
type Control struct {
	Number   int    // 0..119; negative: the player has none
	Fine     bool   // 14 bit: Number (0..31) for the upper seven bits, Number+32 for the lower
	Response *Curve // value 0..127 to the physical unit; rising. A fine value lies between two whole ones
}

// Has reports whether the player has this controller.
func (c *Control) Has() bool { return c.Response != nil && c.Number >= 0 }

// HasProgram reports whether a program (0..127) calls a way of playing of the profile.
func (p *Profile) HasProgram(program int) bool {
	for i := range p.Variants {
		if p.Variants[i].Program == program {
			return true
		}
	}
	return false
}
