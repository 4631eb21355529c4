package expr

// Voicing brings out the melody over the other voices of its own part, and its bass over those
// between: 3.5 dB from an inner voice to the melody, about 15 steps of velocity at mezzo piano
// by 40·log10 of the velocity. What the melody gains the inner voices lose.
//
// Foreknowledge: none is needed, as far as the voices have been told apart.
//
// Sources: melodies are played louder, C. Palmer, "On the assignment of structure in music
// performance", Music Perception 14 (1996) 23-56; by 10 to 20 steps of velocity, from memory.
// The split is ours.
type Voicing struct{}

const (
	melodyDB = 1.75
	innerDB  = -1.75
	bassDB   = -0.75
)

// Name is the rule's name in counts and reports.
func (Voicing) Name() string { return "voicing" }

// Shape adds the level of the note's role.
func (Voicing) Shape(n *Note, g *Gesture) bool {
	db := n.Profile.Habits.Voicing * roleDB(n.Role, n.Voices)
	g.NuanceDB += db
	return db != 0
}

// roleDB is the level of a role among so many voices, at k = 1.
func roleDB(role Role, voices int) float64 {
	if voices < 2 {
		return 0
	}
	switch role {
	case Melody:
		return melodyDB
	case Inner:
		return innerDB
	case Bass:
		return bassDB
	}
	return 0
}
