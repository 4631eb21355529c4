package musicxml

import "swellbox/expr"

// graceNote is how long a grace note lasts, in ticks: a thirty-second note (common
// practice, no published source).
const graceNote = quarterTicks / 8

// maxGraces bounds the grace notes that wait at one time for the notes they belong to.
const maxGraces = 1000

// values are the lengths of notes by their names, in ticks.
var values = map[string]int64{
	"long": 16 * quarterTicks, "breve": 8 * quarterTicks,
	"whole": 4 * quarterTicks, "half": 2 * quarterTicks, "quarter": quarterTicks,
	"eighth": quarterTicks / 2, "16th": quarterTicks / 4, "32nd": quarterTicks / 8,
	"64th": quarterTicks / 16, "128th": quarterTicks / 32, "256th": quarterTicks / 64,
	"512th": quarterTicks / 128, "1024th": quarterTicks / 256,
}

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
func (h *hand) grace(w *written) {
	g := pended{voice: w.voice, at: h.at(), own: graceNote, early: w.early}
	if v := values[w.kind]; v > 0 && !w.slash {
		g.own = v
	}
	for i := len(h.graces) - 1; i >= 0; i-- {
		if other := &h.graces[i]; other.voice == g.voice {
			g.column = other.column
			if !w.chord {
				g.column++
			}
			break
		}
	}
	w.marks |= expr.Grace
	notes := &h.p.measures[h.k]
	g.index = len(*notes)
	*notes = append(*notes, w.note)
	h.p.manyStaves = h.p.manyStaves || w.staff > 1
	h.graces = append(h.graces, g)
}

// take removes the grace notes of a voice from those that wait.
func (h *hand) take(voice uint16) (group []pended) {
	rest := h.graces[:0]
	for _, g := range h.graces {
		if g.voice == voice {
			group = append(group, g)
		} else {
			rest = append(rest, g)
		}
	}
	h.graces = rest
	return group
}

// resolve places the grace notes before a note or a rest at its onset, and is what they
// take from it, in ticks: at most half. A lone one without a slash keeps its
// written length, others last a graceNote (common practice, no published source). Those
// that are to take from the note before, or whose note is tied and does not start here,
// come before the beat.
func (h *hand) resolve(w *written) int64 {
	group := h.take(w.voice)
	if len(group) == 0 {
		return 0
	}
	last := group[len(group)-1]
	early := last.early
	switch h.reader.placing {
	case GraceOnBeat:
		early = false
	case GraceBeforeBeat:
		early = early || last.column > 0 || last.own == graceNote
	}
	if (early || w.tied&tieStop != 0) && h.k+int(h.onset) > 0 { // nothing is before the start of the score
		h.before(group)
		return 0
	}
	each := int64(graceNote)
	if last.column == 0 {
		each = last.own
	}
	n := int64(last.column + 1)
	each = min(each, h.length/2/n)
	if each == 0 || w.rest {
		h.set(group, h.onset, max(each, 1))
		return 0
	}
	h.set(group, h.onset, each)
	return n * each
}

// before places grace notes at the end of the note before them, which they shorten by
// at most half. At the start of a measure they come before its bar line, and where nothing sounds before
// them, in the silence.
func (h *hand) before(group []pended) {
	at := group[0].at
	n := int64(group[len(group)-1].column + 1)
	notes := h.p.measures[h.k]
	i, ok := h.ends[group[0].voice]
	each := int64(0)
	if ok && notes[i].at+notes[i].length == at {
		each = min(graceNote, notes[i].length/2/n)
	}
	if each == 0 {
		if at == 0 || at >= n*graceNote {
			at -= n * graceNote
		}
		h.set(group, at, graceNote)
		return
	}
	onset := notes[i].at
	for ; i >= 0 && notes[i].at == onset; i-- {
		if notes[i].voice == group[0].voice && notes[i].at+notes[i].length == at {
			notes[i].length -= n * each
		}
	}
	h.set(group, at-n*each, each)
}

// late places the grace notes that no note follows in the measure.
func (h *hand) late() {
	for len(h.graces) > 0 {
		h.before(h.take(h.graces[0].voice))
	}
}

func (h *hand) set(group []pended, at, each int64) {
	notes := h.p.measures[h.k]
	for _, g := range group {
		notes[g.index].at = at + int64(g.column)*each
		notes[g.index].length = each
	}
}
