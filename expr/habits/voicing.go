package habits

import (
	"swellbox/expr"
)

// Voicing brings out the melody over the other voices of its own part, and its bass over those
// between: 5.5 dB from an inner voice to the melody. At mezzo piano these are some 20 steps of
// velocity, centred on the written one, by which a hammer would lead by what is the least that was published of
// pianists, 20 ms and more; how much of that is left, [Together] has. What the melody gains the inner voices lose.
//
// Foreknowledge: none is needed, as far as the voices have been told apart.
//
// Sources: melodies are played louder, C. Palmer, "On the assignment of structure in music
// performance", Music Perception 14 (1996) 23-56; they lead by 20 to 50 ms, the same, and as their
// hammers fly faster, Goebl 2001; by 10 to 20 steps of velocity, from memory. The split is ours.
type Voicing struct{}

const (
	melodyDB = 2.75
	innerDB  = -2.75
	bassDB   = -2.25
)

var aboutVoicing = expr.About{
	Name: "voicing", Key: "voicing",
	Sentence: "The melody is brought out over the other voices of its own part.",
	Changed:  "the voicing",
	Listen:   "the upper notes of what mallets strike; piano and harp bring their lines out by their touch",
	Heard:    "the upper line of chords is brought out", Ease: 7,
	Needs: expr.Grades{
		None:      "all of it, once the voices are told apart",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "Palmer 1996; Goebl 2001",
	Most:   expr.Bound{DB: melodyDB},
}

// About says what the habit is.
func (Voicing) About() *expr.About { return &aboutVoicing }

// Shape adds the level of the note's role.
func (Voicing) Shape(n *expr.Note, g *expr.Gesture) bool {
	db := n.Amount * roleDB(n.Role, n.Voices)
	g.VoicedDB += db
	return db != 0
}

// StrokeDB is the level of the role, as it is in the stroke itself.
func (Voicing) StrokeDB(p *expr.Profile, role expr.Role, voices int) float64 {
	return roleDB(role, voices) * p.Amounts.Of(aboutVoicing.Key)
}

// roleDB is the level of a role among so many voices, at amount 1.
func roleDB(role expr.Role, voices int) float64 {
	if voices < 2 {
		return 0
	}
	switch role {
	case expr.Melody:
		return melodyDB
	case expr.Inner:
		return innerDB
	case expr.Bass:
		return bassDB
	}
	return 0
}
