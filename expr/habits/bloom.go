package habits

import (
	"time"

	"swellbox/expr"
)

// LongNote gives a long note of a sustaining instrument life: it starts softer, grows to its
// middle and goes back (messa di voce), the more the longer it is. It keeps away from notes on
// which a hairpin or an accent says otherwise, and [Swelling] keeps away from its notes.
//
// Foreknowledge. None: nothing; [Swelling] does its part. Lookahead: notes that end within it.
// Score: all notes.
//
// Source: common practice, no published source; the amounts are ours.
type LongNote struct{}

// An arc begins with notes of longNote and gains its height over as many seconds as it has dB.
const (
	longNote       = time.Second
	longNoteMaxDB  = 3
	longNoteDBPerS = 1
)

// Name is the rule's name in counts and reports.
func (LongNote) Name() string { return "long-note" }

// Shape gives the note its arc, about the level that it has.
func (LongNote) Shape(n *expr.Note, g *expr.Gesture) bool {
	k, length := n.Profile.Habits.LongNote, g.Lasts(n)
	if k == 0 || n.Profile.Sustain.K == 0 || length <= longNote ||
		g.Glide > 0 || n.Marks&(expr.Louder|expr.Softer|expr.Accented|expr.Marcato) != 0 {
		return false
	}
	arc := k * min(longNoteDBPerS*(length-longNote).Seconds(), longNoteMaxDB)
	g.ArcDB += arc
	g.Arc = length
	g.NuanceDB -= arc / 2
	return true
}

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
func (Swelling) Shape(n *expr.Note, g *expr.Gesture) bool {
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
