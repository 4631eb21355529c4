package expr

// Swelling keeps a held note alive: a small swell after its start, then a slow decay, as
// breath and bow do. A note whose level moves by a [Hairpin] or as a [LongNote] is alive
// already.
//
// Foreknowledge: none is needed.
//
// Source: common practice, no published source; the amounts are the profile's.
type Swelling struct{}

// Name is the rule's name in counts and reports.
func (Swelling) Name() string { return "sustain" }

// Shape gives the note its movement of level.
func (Swelling) Shape(n *Note, g *Gesture) bool {
	s := &n.Profile.Sustain
	if s.K == 0 || g.Arc > 0 || g.Glide > 0 || (s.SwellDB == 0 && s.DecayDBPerS == 0) {
		return false
	}
	g.SwellDB += s.K * s.SwellDB
	g.Swell = s.Swell
	g.DecayDBPerS += s.K * s.DecayDBPerS
	g.DecayLimitDB += s.K * s.DecayLimitDB
	return true
}
