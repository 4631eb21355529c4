package perform

import (
	"math"
)

// Controllers of MIDI 1.0 that the desk treats in a way of their own.
const (
	ccVolume     = 7
	ccExpression = 11
	ccDamper     = 64
	ccHold2      = 69
	ccSoundOff   = 120
	ccNotesOff   = 123
)

// isLevel reports whether a controller moves loudness directly, so that a jump
// of it would click: it is ramped at a switch.
func isLevel(number int, level int) bool {
	return number == ccVolume || number == ccExpression || number == level
}

// decibels is the level of a volume or expression value, dB re full; 0 is taken as
// the deepest value that is heard.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func decibels(v int) float64 { return 40 * math.Log10(math.Max(float64(v), 0.5)/127) }

// fromDecibels is the value nearest to a level.
func fromDecibels(db float64) int { return int(math.Round(127 * math.Pow(10, db/40))) }
