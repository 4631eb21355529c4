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
	k := n.Profile.Habits.Voicing
	if k == 0 || n.Voices < 2 {
		return false
	}
	db := 0.0
	switch n.Role {
	case Melody:
		db = melodyDB
	case Inner:
		db = innerDB
	case Bass:
		db = bassDB
	}
	g.NuanceDB += k * db
	return db != 0
}
