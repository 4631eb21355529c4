package habits

import (
	"math"
	"time"

	"swellbox/expr"
)

// Breath lets a player breathe, or lift the bow, where a phrase ends: the last note before
// it ends a little early. Where a written breath mark stands it always does; at the end of a
// phrase if a quarter of the breath is spent; at a comma within a phrase that is too long for
// one breath, once for each half of a breath that is spent since the phrase began; and where a whole one is spent
// without a rest, wherever that may be. A rest that
// is long enough needs nothing more. No note loses more than half of its length.
//
// A breath is as long as the player has it at the note's written dynamic, by a straight line
// from piano to forte. A bow's gap is half as long as what it is given: it is a dip, which the
// release of the sound fills.
//
// Foreknowledge. None: nothing, as the end of a phrase is known only when it is over.
// Lookahead: ends of phrases that it shows. Score: all of them, and breath marks.
//
// Source: common practice, no published source; the shares are ours, the rest is the
// profile's.
type Breath struct{}

// What piano and forte are in written level, dB re mf, steps of 4.2 dB a mark: common
// practice, no published source.
const (
	pianoDB = -8.4
	forteDB = 4.2
)

const (
	spentAtPhraseEnd = 0.25 // share of a breath that must be spent for one to be taken at a phrase's end
	spentAtComma     = 0.5  // and at a comma
	bowGapShare      = 0.5
)

// capacity is how long a breath or a bow lasts at a written dynamic; 0: for ever.
func capacity(b *expr.Breath, writtenDB float64) time.Duration {
	loud := min(max((writtenDB-pianoDB)/(forteDB-pianoDB), 0), 1)
	return b.SoftLength + time.Duration(loud*float64(b.LoudLength-b.SoftLength))
}

var aboutBreath = expr.About{
	Name: "breath", Key: "breath",
	Sentence: "Players breathe, or lift the bow, where a phrase ends.",
	Changed:  "the breaths",
	Listen:   "air between phrases: oboes before bar 21, flute 1 and clarinets before bar 23",
	Heard:    "there is air between phrases", Ease: 3,
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "ends of phrases that it shows",
		Score:     "all ends of phrases, and breath marks",
	},
	Source: "common practice",
	Settings: []expr.Setting{
		{Key: "lasts_loud_ms", About: "how long one lasts at forte; 0: none is needed", Changed: "length of a breath or bow at forte", Unit: "ms", Most: 60000,
			At: func(p *expr.Profile) *time.Duration { return &p.Breath.LoudLength }},
		{Key: "lasts_soft_ms", About: "how long one lasts at piano", Changed: "length of a breath or bow at piano", Unit: "ms", Most: 60000,
			At: func(p *expr.Profile) *time.Duration { return &p.Breath.SoftLength }},
		{Key: "gap_ms", About: "silence, or dip, that one makes", Changed: "gap of a breath or a change of bow", Unit: "ms", Most: 1000,
			At: func(p *expr.Profile) *time.Duration { return &p.Breath.Gap }},
		{Key: "bow", About: "it is a change of bow: a dip and no silence", Changed: "between two of them there is",
			Words: []string{"a silence, for the breath", "a dip, for the bow"},
			At:    func(p *expr.Profile) *bool { return &p.Breath.Bow }},
	},
}

// About says what the habit is.
func (Breath) About() *expr.About { return &aboutBreath }

// Shape ends the note before its time.
func (Breath) Shape(n *expr.Note, g *expr.Gesture) bool {
	b, length := &n.Profile.Breath, g.Lasts(n)
	if n.Amount == 0 || length <= 0 || n.ToNext <= 0 || length > n.ToNext+expr.OverlapTime || !breathes(n, b) {
		return false
	}
	gap := n.Amount * float64(b.Gap)
	if b.Bow {
		gap *= bowGapShare
	}
	length = min(length, n.ToNext)
	end := max(n.ToNext-time.Duration(gap), length/2)
	if end >= length {
		return false
	}
	g.Sounding, g.Overlap = end, 0
	return true
}

// breathes reports whether the player breathes after a note, if there is no rest.
func breathes(n *expr.Note, b *expr.Breath) bool {
	full := capacity(b, n.WrittenDB)
	since, until := n.Phrase.Since, n.Phrase.Until
	switch {
	case full <= 0:
		return false
	case n.Marks.Has(expr.BreathAfter), n.SinceRest/full < (n.SinceRest+n.Length)/full: // or there is none left
		return true
	case since < 0:
		return false
	case n.Phrase.Final:
		return float64(since+n.Length) >= spentAtPhraseEnd*float64(full)
	case !n.SubPhrase.Final, n.SubPhrase.Since < 0, n.Phrase.Known() && since+until <= full:
		return false
	}
	halves := func(d time.Duration) float64 { return math.Floor(float64(d) / (spentAtComma * float64(full))) }
	return halves(since+n.Length) > halves(since-n.SubPhrase.Since)
}
