package following

import "math"

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
		m.Note = int(f.index.notes[h.last].note)
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

// sameAhead reports whether the score goes on alike from two notes, for long enough
// that habits that look ahead see the same.
func (f *Follower) sameAhead(a, b int) bool {
	notes := f.index.notes
	if a > b {
		a, b = b, a
	}
	shift := notes[b].on - notes[a].on
	for i := range aheadMost {
		if b+i == len(notes) || !notes[a+i].same(&notes[b+i], shift) {
			return false
		}
		if i >= aheadNotes && notes[b+i].on-notes[b].on > ahead {
			return true
		}
	}
	return false
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
	part := f.index.notes[h.last].part
	total := f.total()
	ofPart, ofRatio := 0.0, 0.0
	for i := range f.hypotheses {
		g := &f.hypotheses[i]
		p := math.Exp(g.weight - total)
		if g.matched && f.index.notes[g.last].part == part {
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
		f.here = f.index.notes[h.last].on
	}
}

// learnChannel learns that a channel plays the part of a note, or, where several parts
// play in unison, one of theirs, as likely as it was believed to be.
func (f *Follower) learnChannel(e *event, at int) {
	if e.channel == strangers {
		return
	}
	notes := f.index.notes
	n := &notes[at]
	first, end := at, at+1
	for first > max(at-pending, 0) && n.on-notes[first-1].on < simultaneous {
		first--
	}
	for end < min(at+pending, len(notes)) && notes[end].on-n.on < simultaneous {
		end++
	}
	c := &f.channels[e.channel]
	believed := *c
	total := 0.0
	for i := first; i < end; i++ {
		if notes[i].key == n.key {
			total += believed.plays(f.index, notes[i].part)
		}
	}
	for i := first; i < end; i++ {
		if notes[i].key == n.key {
			c.learn(notes[i].part, float32(believed.plays(f.index, notes[i].part)/total))
		}
	}
}
