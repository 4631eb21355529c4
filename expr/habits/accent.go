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

// Name is the rule's name in counts and reports.
func (Accent) Name() string { return "accent" }

// Shape adds the level of the note's accent.
func (Accent) Shape(n *expr.Note, g *expr.Gesture) bool {
	k := n.Profile.Habits.Accent
	if k == 0 || n.Accent < 0 {
		return false
	}
	db := k * min(accentDB*(n.Accent-n.MeanAccent), maxAccentDB)
	g.NuanceDB += db
	return db != 0
}
