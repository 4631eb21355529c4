package habits

import (
	"swellbox/expr"
)

// RiseAndFall plays the high notes of a line louder than its low ones, as singers and most
// players do. See [RiseDB]; in place of middle C we take the running mean of the line, so
// that a piccolo is not lifted over a bassoon, and the balance between parts stays as it is
// written. Held within 3 dB. Both are ours.
//
// Foreknowledge: none is needed.
//
// Source: A. Friberg, "Generative rules for music performance: A formal description of a rule
// system", Computer Music Journal 15(2) (1991) 56-71, from memory.
type RiseAndFall struct{}

const maxRiseDB = 3

// RiseDB is the published habit: (N-60)/4 dB for MIDI note N, 3 dB an octave (Friberg 1991,
// from memory).
func RiseDB(note float64) float64 { return (note - 60) / 4 }

var aboutRiseAndFall = expr.About{
	Name: "rise and fall", Key: "rise_and_fall",
	Sentence: "Lines grow as they rise and fade as they sink.",
	Changed:  "growing as the line rises",
	Listen:   "lines grow as they rise and fade as they sink: violins I, bars 9 to 12",
	Needs: expr.Grades{
		None:      "all of it",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "Friberg 1991, from memory",
	Most:   expr.Bound{AnyDB: maxRiseDB},
}

// About says what the habit is.
func (RiseAndFall) About() *expr.About { return &aboutRiseAndFall }

// Shape adds the level of the note's height over its line's mean.
func (RiseAndFall) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 || n.MeanKey <= 0 {
		return false
	}
	db := k * (RiseDB(float64(n.Key)) - RiseDB(n.MeanKey))
	g.NuanceDB += min(max(db, -maxRiseDB), maxRiseDB)
	return db != 0
}
