package habits

import (
	"swellbox/expr"
)

// Accent brings out the notes at which a melody turns and leaps: those with more
// melodic accent than its line has on average are louder, those with less are softer, 2 dB
// between none and all, but at most 1.2 dB louder. The amounts are ours.
//
// Foreknowledge. None: nothing, as an accent depends on the note after. Lookahead: for notes
// whose next onset comes within it. Score: for all.
//
// Source of the accents: J. M. Thomassen, "Melodic accent: Experiments and a tentative model",
// JASA 71 (1982) 1596-1605.
type Accent struct{}

const (
	accentDB    = 2
	maxAccentDB = 1.2 // what leaves a repeated note is not that much of an event
)

var aboutAccent = expr.About{
	Name: "accent", Key: "accent",
	Sentence: "The notes where a melody turns or leaps speak a little more.",
	Changed:  "the melodic accents",
	Listen:   "the notes where a melody turns or leaps speak a little more",
	Needs: expr.Grades{
		None:      "nothing",
		Lookahead: "notes whose next one comes within it",
		Score:     "all notes",
	},
	Source: "Thomassen 1982",
	Most:   expr.Bound{DB: accentDB},
}

// About says what the habit is.
func (Accent) About() *expr.About { return &aboutAccent }

// Shape adds the level of the note's accent.
func (Accent) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Amount
	if k == 0 || n.Accent < 0 {
		return false
	}
	db := k * min(accentDB*(n.Accent-n.MeanAccent), maxAccentDB)
	g.NuanceDB += db
	return db != 0
}
