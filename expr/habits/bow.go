package habits

import (
	"time"

	"swellbox/expr"
)

// Bow is how a violinist who plays alone draws a note: how loud for its height and for the leaps about
// it, softer under a slur and on the last of a phrase, fallen away at its end, and with a dip
// to the next note, deep between separate notes and small under a slur.
//
// It stands in the place of the arch of phrases, of metre and of accents as other players
// have them, none of which was found in violinists (r -0.04 to 0.00 with the levels of their notes).
//
// Foreknowledge. None: height, the leap to the note, slurs that are written. Lookahead: also what
// notes that end within it do towards their ends. Score: all of it.
//
// Source: three violinists, nine recordings of unaccompanied Bach, 4202 notes (Bach Violin Dataset:
// Dong, Zhou, Berg-Kirkpatrick and McAuley, ICASSP 2022): a linear fit, which on movements left out agrees
// with the levels of notes by 0.36, the same player's repeats by 0.80. Terms of less than two standard
// errors are left out but for the end of a phrase (-5.3 ± 2.2 dB by itself). Level holds the violin's
// body and the room too, so not all of the rise with height is the player's. Whether any of it carries
// over to playing with others, to romantic music or to other strings, is not known.
type Bow struct{}

// What was fitted, dB, with standard errors by leaving recordings out.
const (
	bowOctaveDB  = 4.3  // ± 1.8, an octave of height
	bowToUpDB    = 0.0  // an octave up to the next note: +1.7 ± 0.5 by its direction and -1.7 ± 0.5 by its size
	bowToDownDB  = -3.4 // and down
	bowUpDB      = -2.9 // an octave up from the note before: -1.0 ± 0.2 and -1.9 ± 0.5
	bowDownDB    = -0.9 // and down
	bowSlurredDB = -3.1 // ± 0.8, under a slur but for its first note
	bowPhraseDB  = -3.8 // ± 2.7, the last note of a phrase

	// bowReach is by how much more is done than the fit foresees, so that levels vary nearer as
	// much as violinists' (5.4 dB): a fit that foresees a share of what they do varies by that share.
	bowReach = 1.5

	// bowMiddle is the height about which they are: the middle of what was played, B4. From memory.
	bowMiddle = 71

	// maxBowDB is the most that a note may be louder or softer for all of it. Ours.
	maxBowDB = 9
)

// How a note goes on, from its first moment to its last: up to its middle and down again, and down
// overall, dB. Measured of 84 notes over 400 ms that end no section: quartiles of the fall -8.4, -2.8, 1.5 and
// of the swell -0.2, 2.2, 4.8 from 400 to 600 ms; medians -7.7 and 0.9 up to 1.2 s, most of them
// of one player's coarsely aligned movement; -2.1 and 2.1 beyond. Shorter ones were not measured.
const (
	bowFallDB  = 2.8
	bowSwellDB = 2
	bowLong    = 400 * time.Millisecond
)

// The dip to the next note, re the softer of the two: quartiles -8.6, -6.2, -3.7 dB between separate
// notes and -2.9, -1.4, -0.1 under slurs.
const (
	separateDipDB = 6.2
	slurredDipDB  = 1.4
	dipTime       = 50 * time.Millisecond // at most; ours, as the measured ones hold a room's echo
	dipShare      = 1. / 4                // of a short note
)

var aboutBow = expr.About{
	Name: "bow", Key: "bow",
	Sentence: "A solo violin draws each note for its height and its slur, lets it fall, and parts it from the next.",
	Changed:  "the solo violin's bow",
	Listen:   "nothing in this score, which has no solo violin",
	Needs: expr.Grades{
		None:      "height, leaps and slurs behind",
		Lookahead: "also how notes end that do so within it",
		Score:     "all of it",
	},
	Source: "three violinists in unaccompanied Bach: Dong et al. 2022",
}

// About says what the habit is.
func (Bow) About() *expr.About { return &aboutBow }

// Shape gives the note its level, its fall and its dip.
func (Bow) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 {
		return false
	}
	g.TouchDB += min(max(k*bowReach*bowed(n), -maxBowDB), maxBowDB)
	length := g.Lasts(n)
	if n.ToNext > 0 && length > n.ToNext {
		length = n.ToNext
	}
	if length <= 0 {
		return true
	}
	if length >= bowLong && g.Glide == 0 { // a hairpin moves it already
		const meanOfSine = 0.637
		g.Arc.DB += k * bowSwellDB
		g.GlideDB -= k * bowFallDB
		g.Arc.Over, g.Glide = length, length
		g.TouchDB += k * (bowFallDB/2 - meanOfSine*bowSwellDB) // its mean stays
	}
	if n.NextKey >= 0 && n.ToNext > 0 && g.Lasts(n) >= n.ToNext-expr.JointTime {
		dip := slurredDipDB
		if n.Marks&(expr.SlurBegins|expr.SlurGoesOn) == 0 && (n.Marks.Has(expr.Separate) || g.Overlap == 0) {
			dip, g.Overlap = separateDipDB, 0
		}
		over := min(dipTime, time.Duration(dipShare*float64(length)))
		g.Dip = expr.Dip{DB: k * dip, From: length - over, To: length}
	}
	return true
}

// bowed is the level for what the note is among others, as it was fitted.
func bowed(n *expr.Note) float64 {
	const octave = 12.
	db := bowOctaveDB * (float64(n.Key) - bowMiddle) / octave
	if n.LastKey >= 0 {
		db += leapDB(int(n.Key)-n.LastKey, bowUpDB, bowDownDB)
	}
	if n.NextKey >= 0 {
		db += leapDB(n.NextKey-int(n.Key), bowToUpDB, bowToDownDB)
	}
	if n.Marks&(expr.SlurGoesOn|expr.SlurEnds) != 0 && !n.Marks.Has(expr.SlurBegins) {
		db += bowSlurredDB
	}
	if n.Phrase.Final {
		db += bowPhraseDB
	}
	return db
}

// leapDB is the level for a leap, by what an octave up and one down are worth.
func leapDB(semitones int, up, down float64) float64 {
	const octave = 12.
	if semitones < 0 {
		return down * float64(-semitones) / octave
	}
	return up * float64(semitones) / octave
}
