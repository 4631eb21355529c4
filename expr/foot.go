package expr

// Pedalling has the foot, or the hand that damps, do what no pedal mark says: hold what
// belongs to one harmony, and change with it. Pedals that come in win.
//
// Sources: Repp 1997 (when the foot lifts and treads), Harte et al. 2006 (the change of
// harmony); see package pedalling.
type Pedalling struct{}

// Name is the rule's name in counts and reports.
func (Pedalling) Name() string { return "pedal" }

// Shape reports whether the note is played by one who pedals.
func (Pedalling) Shape(n *Note, _ *Gesture) bool {
	p := &n.Profile.Habits.Pedal
	return p.K != 0 && p.Kind != NoPedal
}
