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
// notes on the mean of the twelve values, chords half-way from the tonic chord to the
// dominant. The sum is held within 3 dB.
//
// Foreknowledge: none is needed for the level, as far as chord and key have been found; a note
// is lengthened only where its end and the next onset are known.
//
// Source: A. Friberg, "Generative rules for music performance", Computer Music Journal 15(2)
// (1991) 56-71, from memory; the harmonic one with little confidence.
type ColourNotes struct{}

// foreignness are by semitones above the chord's root (Friberg 1991, from memory).
var foreignness = [12]float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}

const (
	foreignDB     = 0.2    // per unit of foreignness
	foreignLonger = 0.0067 // of the length, per unit of foreignness
	farDB         = 1.5    // times the root of the remoteness
	meanForeign   = 43.5 / 12
	usualFarDB    = 0.75 // half of a dominant's, whose remoteness is 1
	maxColourDB   = 3
)

var aboutColourNotes = expr.About{
	Name: "colour notes", Key: "colour_notes",
	Sentence: "Notes that are foreign to their chord, and chords far from the key, stand out.",
	Changed:  "brought out colour notes",
	Listen:   "nothing in this score, where nobody goes by it",
	Needs: expr.Grades{
		None:      "all of it, once chord and key are found",
		Lookahead: "all of it, once chord and key are found",
		Score:     "all of it",
	},
	Source: "Friberg 1991, from memory",
	Most:   expr.Bound{AnyDB: maxColourDB},
}

// About says what the habit is.
func (ColourNotes) About() *expr.About { return &aboutColourNotes }

// Shape adds level and length.
func (ColourNotes) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 || n.Root < 0 {
		return false
	}
	foreign := foreignness[(int(n.Key)+12-n.Root%12)%12]
	db := foreignDB * (foreign - meanForeign)
	if n.Tonic >= 0 {
		db += farDB*math.Sqrt(max(n.Remote, 0)) - usualFarDB
	}
	g.NuanceDB += min(max(k*db, -maxColourDB), maxColourDB)
	if length := g.Lasts(n); g.Detached(n) && n.ToNext > 0 {
		longer := float64(length) * (1 + k*foreignLonger*foreign)
		g.Sounding = min(time.Duration(longer), n.ToNext)
	}
	return true
}
