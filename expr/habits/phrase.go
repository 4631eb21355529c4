package habits

import (
	"math"
	"time"

	"swellbox/expr"
)

// Phrase gives each phrase an arch of level, louder in its middle, softer at its ends and
// softest on its last note, the more so the stronger the boundary at its end; within it each
// part of a phrase has a smaller arch of its own. See [PhraseArch].
//
// Foreknowledge. None: from a boundary that was heard, a phrase rises from its soft start to
// its mean and stays there; its end is not guessed. Lookahead: also falls when its end comes
// in sight, and has its whole arch where all of it is known. Score: the whole arch.
//
// Sources: see [PhraseArch]; phrases start and end softer, and larger boundaries more so: A.
// Friberg and G. U. Battel 2002. The depths are ours.
type Phrase struct{}

// The depth m of the arch at the strongest and the weakest boundary, 0.4 being 2.9 dB from the
// middle to the ends, and the length that a phrase is taken to have until its end is known.
// Ours, not published.
const (
	phraseDepth    = 0.4
	subPhraseDepth = 0.15
	weakestDepth   = 0.4 // of those, at a boundary of strength 0
	usualPhrase    = 8 * time.Second
)

// PhraseArch is the level in dB at a place in a phrase, 0 at its start and 1 at its end, re
// the level of the phrase's mean tempo. The mean over the phrase is 0 within a tenth of a dB
// for depths of up to 0.5; from the middle to the ends it falls by 20·log10(1+m).
//
// Source: a beat lasts D(τ) = A + 4m(τ-½)², m growing with the boundary's strength, N. P.
// Todd, "A model of expressive timing in tonal music", Music Perception 3 (1985) 33-57, from a
// secondary text, with A = 1 here; the faster the louder, intensity as the tempo squared, N.
// P. McAngus Todd, "The dynamics of dynamics", JASA 91 (1992) 3540-3550, the exponent from
// memory.
func PhraseArch(tau, m float64) float64 {
	return -20 * math.Log10(beatLength(tau, m)/(1+m/3)) // 1+m/3 is the mean of D
}

// beatLength is Todd's D with A = 1.
func beatLength(tau, m float64) float64 {
	off := min(max(tau, 0), 1) - 0.5
	return 1 + 4*m*off*off
}

var aboutPhrase = expr.About{
	Name: "phrase", Key: "phrase",
	Sentence: "Each phrase grows to its middle and falls to its end.",
	Changed:  "phrasing",
	Listen:   "each phrase grows to its middle and falls to its end: flute, bars 2 to 7",
	Heard:    "phrases grow to their middle and fall to their end", Ease: 2,
	Needs: expr.Grades{
		None:      "rises from where a phrase began; its end is not guessed",
		Lookahead: "also falls where its end comes in sight",
		Score:     "the whole phrase",
	},
	Source: "Todd 1985 and 1992; Friberg and Battel 2002",
	Most:   expr.Bound{DB: 3.5},
}

// About says what the habit is.
func (Phrase) About() *expr.About { return &aboutPhrase }

// Shape adds the level of the note's place in its phrase.
func (Phrase) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 {
		return false
	}
	db := arched(&n.Phrase, phraseDepth)
	if sub := &n.SubPhrase; *sub != n.Phrase && sub.Known() {
		db += arched(sub, subPhraseDepth)
	}
	if n.LastKey >= 0 && n.WrittenDB-n.LastDB >= arrivalDB {
		db = max(db, 0)
	}
	g.NuanceDB += k * db
	return db != 0
}

// arrivalDB is the rise from the note before, written, by which a note is where a crescendo
// arrives: it is not soft, even if a phrase ends with it. Ours.
const arrivalDB = 1

// arched is the arch's level at a place in a span, as far as that is known.
func arched(s *expr.Span, depth float64) float64 {
	m := depth * (weakestDepth + (1-weakestDepth)*s.End)
	switch {
	case s.Final && s.Since == 0:
		return 0 // one note is no arch
	case s.Final:
		return PhraseArch(1, m) // its end is the arch's end
	case s.Known():
		return PhraseArch(s.At(), m)
	case s.Since >= 0:
		return nearEnd(s.Since, m)
	case s.Until > 0:
		return nearEnd(s.Until, m)
	}
	return 0
}

// nearEnd is the arch of a usual phrase at a distance from one of its ends, as far as it lies
// under its mean.
func nearEnd(distance time.Duration, m float64) float64 {
	if distance >= usualPhrase/2 {
		return 0
	}
	return min(PhraseArch(float64(distance)/float64(usualPhrase), m), 0)
}
