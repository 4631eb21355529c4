package habits

import (
	"time"

	"swellbox/expr"
)

// Bloom keeps a held note alive. A long note of a sustaining instrument starts softer, grows to
// its middle and goes back (messa di voce), the more the longer it is, unless a hairpin or an
// accent says otherwise. Any other has a small swell after its start, then a slow decay, as breath
// and bow do; one whose level moves as a [Hairpin] is alive already.
//
// Foreknowledge. None: the swell, as nobody knows that a note will be long. Lookahead: notes
// that end within it. Score: all notes.
//
// Source: common practice, no published source; the amounts of the arc are ours, those of the
// swell the profile's.
type Bloom struct{}

// An arc begins with notes of longNote and gains its height over as many seconds as it has dB.
const (
	longNote       = time.Second
	longNoteMaxDB  = 3
	longNoteDBPerS = 1
)

var aboutBloom = expr.About{
	Name: "bloom", Key: "bloom",
	Sentence: "Long notes swell to their middle and fade, and held ones do not stand like an organ's.",
	Changed:  "the swell and decay",
	Listen:   "long notes swell to their middle and fade: violins I, bars 1 to 8; held notes do not stand like an organ's: horns, bars 15 to 18",
	Heard:    "held notes move a little", Ease: 9,
	Needs: expr.Grades{
		None:      "the swell after a note's start",
		Lookahead: "also notes that end within it",
		Score:     "all of it",
	},
	Source: "common practice",
	Most:   expr.Bound{DB: longNoteMaxDB / 2.},
	Own:    true,
	Settings: []expr.Setting{
		{Key: "long_notes", About: "how far long notes rise to their middle: 0 not, 1 normal, 2 twice as much", Changed: "amount of the swell within long notes", Most: expr.MostAmount,
			At: func(p *expr.Profile) *float64 { return &p.Bloom.LongNotes }},
		{Key: "swell_db", About: "rise above the start of the note", Changed: "swell of a held note", Unit: "dB", Most: 12,
			At: func(p *expr.Profile) *float64 { return &p.Bloom.SwellDB }},
		{Key: "swell_ms", About: "time to the top of the swell", Changed: "time to the top of the swell", Unit: "ms", Most: 10000,
			At: func(p *expr.Profile) *time.Duration { return &p.Bloom.Swell }},
		{Key: "decay_db_per_s", About: "fall after the top", Changed: "decay after the swell", Unit: "dB a second", Most: 30,
			At: func(p *expr.Profile) *float64 { return &p.Bloom.DecayDBPerS }},
		{Key: "decay_limit_db", About: "where the fall ends, under the top", Changed: "end of the decay", Unit: "dB", ChangedUnit: "dB under the top", Most: 30,
			At: func(p *expr.Profile) *float64 { return &p.Bloom.DecayLimitDB }},
	},
}

// About says what the habit is.
func (Bloom) About() *expr.About { return &aboutBloom }

// Shape gives the note its movement of level.
func (Bloom) Shape(n *expr.Note, g *expr.Gesture) bool {
	if n.Amount == 0 || g.Glide > 0 {
		return false
	}
	b := &n.Profile.Bloom
	if length := g.Lasts(n); b.LongNotes != 0 && length > longNote && n.Marks&(expr.Louder|expr.Softer|expr.Accented|expr.Marcato) == 0 {
		arc := b.LongNotes * min(longNoteDBPerS*(length-longNote).Seconds(), longNoteMaxDB)
		g.Arc.DB += arc
		g.Arc.Over = length
		g.NuanceDB -= arc / 2
		return true
	}
	if b.SwellDB == 0 && b.DecayDBPerS == 0 {
		return false
	}
	g.SwellDB += n.Amount * b.SwellDB
	g.Swell = b.Swell
	g.DecayDBPerS += n.Amount * b.DecayDBPerS
	g.DecayLimitDB += n.Amount * b.DecayLimitDB
	return true
}
