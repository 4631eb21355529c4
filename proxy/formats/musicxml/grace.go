package musicxml

import "swellbox/expr"

// graceNote is how long a grace note lasts, in ticks: a thirty-second note (common
// practice, no published source).
const graceNote = quarterTicks / 8

// maxGraces bounds the grace notes that wait at one time for the notes they belong to.
const maxGraces = 1000

// pended is a grace note that waits for the note it belongs to.
type pended struct {
	index  int // of the note
	voice  uint16
	column int   // in its group: notes of a chord have one
	at     int64 // where the reading stood
	own    int64 // its length where it is alone and without a slash: an appoggiatura
	early  bool
}

// grace puts a grace note down to wait.
func (n *placer) grace(w *written) {
	g := pended{voice: w.voice, at: n.at(), own: graceNote, early: w.early}
	if v := values[w.kind]; v > 0 && !w.slash {
		g.own = v
	}
	for i := len(n.graces) - 1; i >= 0; i-- {
		if other := &n.graces[i]; other.voice == g.voice {
			g.column = other.column
			if !w.chord {
				g.column++
			}
			break
		}
	}
	w.marks |= expr.Grace
	notes := &n.p.measures[n.k]
	g.index = len(*notes)
	*notes = append(*notes, w.note)
	n.p.manyStaves = n.p.manyStaves || w.staff > 1
	n.graces = append(n.graces, g)
}

// take removes the grace notes of a voice from those that wait.
func (n *placer) take(voice uint16) (group []pended) {
	rest := n.graces[:0]
	for _, g := range n.graces {
		if g.voice == voice {
			group = append(group, g)
		} else {
			rest = append(rest, g)
		}
	}
	n.graces = rest
	return group
}

// resolve places the grace notes before a note or a rest at its onset, and is what they
// take from it, in ticks: at most half. A lone one without a slash keeps its
// written length, others last a graceNote (common practice, no published source). Those
// that are to take from the note before, or whose note is tied and does not start here,
// come before the beat.
func (n *placer) resolve(w *written) int64 {
	group := n.take(w.voice)
	if len(group) == 0 {
		return 0
	}
	last := group[len(group)-1]
	early := last.early
	switch n.placing {
	case GraceOnBeat:
		early = false
	case GraceBeforeBeat:
		early = early || last.column > 0 || last.own == graceNote
	}
	if (early || w.tied&tieStop != 0) && n.k+int(n.onset) > 0 { // nothing is before the start of the score
		n.before(group)
		return 0
	}
	each := int64(graceNote)
	if last.column == 0 {
		each = last.own
	}
	columns := int64(last.column + 1)
	each = min(each, n.length/2/columns)
	if each == 0 || w.rest {
		n.set(group, n.onset, max(each, 1))
		return 0
	}
	n.set(group, n.onset, each)
	return columns * each
}

// before places grace notes at the end of the note before them, which they shorten by
// at most half. At the start of a measure they come before its bar line, and where nothing sounds before
// them, in the silence.
func (n *placer) before(group []pended) {
	at := group[0].at
	columns := int64(group[len(group)-1].column + 1)
	notes := n.p.measures[n.k]
	i, ok := n.ends[group[0].voice]
	each := int64(0)
	if ok && notes[i].at+notes[i].length == at {
		each = min(graceNote, notes[i].length/2/columns)
	}
	if each == 0 {
		if at == 0 || at >= columns*graceNote {
			at -= columns * graceNote
		}
		n.set(group, at, graceNote)
		return
	}
	onset := notes[i].at
	for ; i >= 0 && notes[i].at == onset; i-- {
		if notes[i].voice == group[0].voice && notes[i].at+notes[i].length == at {
			notes[i].length -= columns * each
		}
	}
	n.set(group, at-columns*each, each)
}

// late places the grace notes that no note follows in the measure.
func (n *placer) late() {
	for len(n.graces) > 0 {
		n.before(n.take(n.graces[0].voice))
	}
}

func (n *placer) set(group []pended, at, each int64) {
	notes := n.p.measures[n.k]
	for _, g := range group {
		notes[g.index].at = at + int64(g.column)*each
		notes[g.index].length = each
	}
}
