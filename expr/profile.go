package expr

import (
	"swellbox/expr/acoustics"
)

// Profile is how one instrument is played (dynamics, vibrato, weight in the
// ensemble) and how the sampler that sounds it answers (Sampler). All of it
// is in physical units; only Sampler knows controller numbers.
//
// A profile is read-only once an engine has it, and one profile may serve many
// parts. How much of each habit its players have is in Amounts; what the habits must know of the
// instrument stands beside.
type Profile struct {
	Name    string // "violins", "trumpet"
	Family  string // "strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "other"
	Players int    // how many players the sound stands for: 1 for a solo, 12 for a section of twelve
	// Instrument is what the acoustic model knows of it; nil for what it does not know.
	Instrument *acoustics.Instrument
	Range      Range // where it plays; what is clearly outside passes as it comes
	Amounts    Amounts
	Dynamics   Dynamics
	Bloom      Bloom
	Weight     Weight
	Vibrato    Vibrato
	Breath     Breath
	Together   Together
	Pedal      Pedal
	Sampler    Sampler
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
	Reading *Curve  // velocity 1..127 to dB re the instrument's mf; rising
	Carrier Carrier // which message carries it to the sampler
}

// Carrier says which message carries the level to the sampler.
type Carrier uint8

const (
	CarryVelocity   Carrier = iota // the velocity alone; the level controller rests
	CarryController                // the level controller; the velocity stays at one value if the player answers to it
	CarryBoth                      // the velocity sets the note's start, the controller what moves after it
)

// Sampler is how the sampler answers: the only place where the engine
// meets controller numbers.
type Sampler struct {
	Velocity      *Curve  // velocity 1..127 to dB re full; nil if velocity does not change the level
	FixedVelocity uint8   // what CarryController sends to a sampler that answers to velocity; 0 means 100
	Level         Control // value to dB re full
	Incoming      Incoming
	VibratoDepth  Control   // value to cents, peak to peak
	VibratoRate   Control   // value to Hz
	VibratoDelay  Control   // value to ms
	BendVibrato   bool      // draw the vibrato with pitch bend; VibratoDepth is then unused
	BendRange     float64   // semitones each way, set by RPN 0 before the first bend; 0 means 2
	Brightness    Control   // value to dB at 3 kHz re the mf spectrum
	BrightPerDB   float64   // dB of brightness per dB of level over mf
	Measured      *Measured // nil if nobody has measured it
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

// Control is one controller of the sampler with its response.
type Control struct {
	Number   int    // 0..119; negative: the sampler has none
	Fine     bool   // 14 bit: Number (0..31) for the upper seven bits, Number+32 for the lower
	Response *Curve // value 0..127 to the physical unit; rising. A fine value lies between two whole ones
}

// Has reports whether the sampler has this controller.
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
