package nuance

import "time"

// Known is how much is known of the notes around one.
type Known uint8

// The grades of foreknowledge, of which each has coefficients of its own.
const (
	Sounded  Known = iota // what has sounded
	Ahead                 // that, and what comes within Lookahead
	AllNotes              // all notes, and nothing of how they are written
	AllSigns              // all notes, their staves, dynamics and signs
	Grades                // their number
)

// Lookahead is how far ahead notes are heard at the grade of that name.
const Lookahead = 500 * time.Millisecond

// String names the grade.
func (k Known) String() string {
	if k < Grades {
		return [...]string{"none", "lookahead", "notes", "score"}[k]
	}
	return "no grade"
}
