package following

import "math"

// The figures are ours, not published, and tried with the scores of the tests.
const (
	enoughSure  = 0.9  // from which on a match is told
	learnSure   = 0.97 // from which on channels, presence and tempo are learnt
	learnHits   = 4
	settledHits = 8           // below, other places are looked for however sure this one is
	lostSure    = 0.9         // below, as well
	trustedVr   = 0.02 * 0.02 // variance of a ratio that is known

	// The music may be another piece that has a bar or two in common with the score.
	// While little of it is foretold, a place must have stood a longer test.
	badRecord  = 0.75 // below, the music may be another piece
	provenHits = 24   // notes by which a place is proven all the same
	provenTime = 5.0  // and the seconds that they last at least: a bar or two may be by chance
)

// Match is what is known of one note.
type Match struct {
	Note int     // index into Score.Notes; -1 if it is not known, or not sure enough
	Sure float64 // 0 to 1: probability that it is the likeliest note, or one before the same music
}

// lost reports whether other places are to be looked for.
func (f *Follower) lost() bool {
	best := f.best()
	if best < 0 {
		return true
	}
	h := &f.hypotheses[best]
	return !h.matched || h.hits < settledHits || f.sure(best) < lostSure
}

// match says which note the last event is. Hypotheses that take it for notes before
// the same music are one, as nothing that follows from the score differs.
func (f *Follower) match() Match {
	m := Match{Note: -1}
	best := f.best()
	if best < 0 || !f.hypotheses[best].matched {
		return m
	}
	h := &f.hypotheses[best]
	total := f.total()
	for i := range f.hypotheses {
		g := &f.hypotheses[i]
		if g.matched && (g.last == h.last || f.sameAhead(int(g.last), int(h.last))) {
			m.Sure += math.Exp(g.weight - total)
		}
	}
	m.Sure = min(m.Sure, 1) * f.trust(h)
	if m.Sure >= enoughSure {
		m.Note = int(f.notes[h.last].note)
	}
	return m
}

// trust is by how much a hypothesis is less sure as the music may be another piece.
func (f *Follower) trust(h *hypothesis) float64 {
	if f.record >= badRecord || h.hits >= provenHits && h.hits > 4*h.extras && h.at-h.born >= provenTime {
		return 1
	}
	return f.record
}

// learn takes from what the hypotheses agree on what holds beyond them: a place may
// be unsure, as in a repeat, and the part of a note and the tempo be sure.
func (f *Follower) learn(e *event) {
	best := f.best()
	if best < 0 {
		return
	}
	h := &f.hypotheses[best]
	if !h.matched || h.hits < learnHits {
		return
	}
	part := f.notes[h.last].part
	total := f.total()
	ofPart, ofRatio := 0.0, 0.0
	for i := range f.hypotheses {
		g := &f.hypotheses[i]
		p := math.Exp(g.weight - total)
		if g.matched && f.notes[g.last].part == part {
			ofPart += p
		}
		if math.Abs(g.ratio-h.ratio) < twinRatio*h.ratio {
			ofRatio += p
		}
	}
	if ofPart >= learnSure {
		f.present[part].learn(1)
		f.learnChannel(e, int(h.last))
	}
	if ofRatio >= learnSure && h.vr < trustedVr*h.ratio*h.ratio {
		f.ratio = h.ratio
	}
	if f.sure(best) >= learnSure {
		f.here = f.notes[h.last].on
	}
}
