package acoustics

import "math"

// MarkDB is the written dynamic from one mark to the next: f is one MarkDB over
// mf, p two under it, on the scale by which profiles read velocities.
//
// Source: common practice, no published source (the mean step of the velocities
// of the marks under the law 40·log10(v/127)).
const MarkDB = 4.2

// Written dynamics in dB re mf, of the marks and of both ends of the scale. ff
// lies a little under two marks, as its velocity of 112 does.
const (
	Softest = -30.0 // the least that can be written: velocity 1
	PP      = -3 * MarkDB
	P       = -2 * MarkDB
	MP      = -1 * MarkDB
	MF      = 0.0
	F       = MarkDB
	FF      = 8.0
	Loudest = 4 * MarkDB // beyond what is written: a solo note with all its strength
)

// Instrument is one kind of player or section. Instruments are read-only; the
// ones that [Lookup] gives are shared.
type Instrument struct {
	Name      string
	Family    string // "strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice"
	Players   int    // how many usually play it together
	Low, High Pitch  // range that it is written in
	Middle    Pitch  // a usual note, where Power holds and balance is told
	Source    string // of the range and of the number of players

	Power     Power
	Registers []Register // from the lowest up; none: the same everywhere
	Colour    *Colour
	Front     Front
	Ensemble  Ensemble
}

// Power is the sound power of one player by written dynamic, in dB re 1 pW, never
// falling: PP, F and FF in ordinary playing, Softest and Loudest of single notes.
type Power struct {
	Softest, PP, F, FF, Loudest float64
	Source                      string
}

// Register is a part of the range with its own strength. Between the middles of
// two registers the corrections move from one to the other.
type Register struct {
	To       Pitch  // its highest note; the next register begins above
	Name     string // as orchestrators call it: "dull, cold"
	Strength Strength
	LoudDB   float64 // power at F and above, re Power
	SoftDB   float64 // power at PP and below, re Power
	Source   string
}

// Strength is how well a register carries.
type Strength int8

const (
	Weak   Strength = -1
	Plain  Strength = 0
	Strong Strength = 1
)

// Front is the directivity index towards the audience in dB, at 250 Hz, 1 kHz and
// 4 kHz: how much louder the direct sound is in front than that of a source of the
// same power that radiates alike in all directions. It changes the direct sound
// alone.
type Front struct {
	Low, Mid, High float64
	Source         string
}

// dB is the index at f Hz, linear in log f and held beyond the ends.
func (d *Front) dB(f float64) float64 {
	switch oct := math.Log2(f / 1000); {
	case oct < 0:
		return d.Mid + (d.Low-d.Mid)*min(-oct/2, 1)
	default:
		return d.Mid + (d.High-d.Mid)*min(oct/2, 1)
	}
}

// Ensemble is what a player among others does beside the mark, in dB added to
// Power: PianoDB at P, fading to nothing at Softest, and ForteDB at F and above.
type Ensemble struct {
	PianoDB, ForteDB float64
	Source           string
}

// At is the term in dB at a written dynamic.
func (e *Ensemble) At(dynamicDB float64) float64 {
	if dynamicDB < P {
		return e.PianoDB * within(dynamicDB, Softest, P)
	}
	return e.PianoDB + (e.ForteDB-e.PianoDB)*within(dynamicDB, P, F)
}

// At is the power of one player in dB re 1 pW at a written dynamic, in the middle
// register, held beyond Softest and Loudest.
func (p *Power) At(dynamicDB float64) float64 {
	switch {
	case dynamicDB < PP:
		return p.Softest + (p.PP-p.Softest)*within(dynamicDB, Softest, PP)
	case dynamicDB < F:
		return p.PP + (p.F-p.PP)*within(dynamicDB, PP, F)
	case dynamicDB < FF:
		return p.F + (p.FF-p.F)*within(dynamicDB, F, FF)
	}
	return p.FF + (p.Loudest-p.FF)*within(dynamicDB, FF, Loudest)
}

// PowerDB is the sound power of one player alone in dB re 1 pW at a written
// dynamic in dB re mf and a pitch: published power and register, no [Ensemble].
func (in *Instrument) PowerDB(dynamicDB float64, p Pitch) float64 {
	return in.Power.At(dynamicDB) + in.registerDB(dynamicDB, p)
}

// PlayedDB is the sound power in dB re 1 pW of players who play together and
// mind the ensemble: incoherent sources, +10·log10(players).
func (in *Instrument) PlayedDB(players int, dynamicDB float64, p Pitch) float64 {
	return in.PowerDB(dynamicDB, p) + in.Ensemble.At(dynamicDB) + PlayersDB(players)
}

// PlayersDB is what a number of equal, incoherent players adds to one of them, in
// dB. A number under 1 counts as 1.
func PlayersDB(players int) float64 { return db10(float64(max(players, 1))) }

// RegisterAt is the register in which a pitch lies, nil if the instrument's
// registers are all alike.
func (in *Instrument) RegisterAt(p Pitch) *Register {
	if len(in.Registers) == 0 {
		return nil
	}
	for i := range in.Registers {
		if p < in.Registers[i].To+0.5 {
			return &in.Registers[i]
		}
	}
	return &in.Registers[len(in.Registers)-1]
}

// InRange reports whether the instrument is written at a pitch.
func (in *Instrument) InRange(p Pitch) bool { return p > in.Low-0.5 && p < in.High+0.5 }

// registerDB is the correction by register.
func (in *Instrument) registerDB(dynamicDB float64, p Pitch) float64 {
	rs := in.Registers
	if len(rs) == 0 {
		return 0
	}
	loud, soft := rs[0].LoudDB, rs[0].SoftDB
	low := in.Low
	middle := (low + rs[0].To) / 2
	for i := 1; i < len(rs) && p > middle; i++ {
		low = rs[i-1].To
		next := (low + rs[i].To) / 2
		t := within(float64(p), float64(middle), float64(next))
		loud = rs[i-1].LoudDB + (rs[i].LoudDB-rs[i-1].LoudDB)*t
		soft = rs[i-1].SoftDB + (rs[i].SoftDB-rs[i-1].SoftDB)*t
		middle = next
	}
	return soft + (loud-soft)*within(dynamicDB, PP, F)
}
