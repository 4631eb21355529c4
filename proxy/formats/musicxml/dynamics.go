package musicxml

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr"
)

// levels are the MIDI velocities of dynamic marks that hold from where they stand: about 16
// a mark, with mf at 80 as in the built-in profiles (common practice, no published source).
var levels = map[string]uint8{
	"pppppp": 2, "ppppp": 5, "pppp": 10, "ppp": 16, "pp": 33, "p": 49, "mp": 64,
	"mf": 80, "f": 96, "ff": 112, "fff": 120, "ffff": 124, "fffff": 126, "ffffff": 127,
	"n": 1, // niente
}

// stress is a mark for the notes that begin where it stands: their velocity, and
// that which holds after them, or 0 where the level before goes on.
type stress struct{ now, after uint8 }

// stresses are the marks for single notes: those of one f are played as f is, of two as ff
// (common practice, no published source).
var stresses = map[string]stress{
	"sf": {96, 0}, "sfz": {96, 0}, "fz": {96, 0}, "rf": {96, 0}, "rfz": {96, 0}, "sffz": {112, 0},
	"fp": {96, 49}, "pf": {49, 96}, "sfp": {96, 49}, "sfpp": {96, 33}, "sfzp": {96, 49},
}

// wedges are the ends of hairpins by the standard's names.
var wedges = map[string]kind{"crescendo": growing, "diminuendo": fading, "stop": ended}

// dynamic takes a dynamic mark by its name. Others than those known say nothing in
// themselves, and the sound beside them does.
func (h *hand) dynamic(at int64, staff int, name string) {
	m := mark{measure: h.k, at: at, staff: staff, velocity: levels[name]}
	if s, ok := stresses[name]; ok {
		if s.after > 0 {
			m.velocity = s.after
			h.mark(m)
		}
		m.kind, m.velocity = accent, s.now
	}
	if m.velocity > 0 {
		h.mark(m)
	}
}

func (h *hand) mark(m mark) {
	h.p.marks = append(h.p.marks, m)
	h.marks++
}

// ruling is what the marks say of one staff.
type ruling struct {
	levels, accents []mark // at since the start of the score as written
	louder, softer  []stretch
	solos           []stretch
	ended, rested   int64 // when the notes so far have ended, and when those before the last long rest
}

// restQuarters is a rest after which a solo is over, unless it is marked anew. Ours.
const restQuarters = 4

// rule finds what the marks say of a staff. A mark on a staff rules that staff, and those of
// the part that have none of their own; a mark on none rules all. Hairpins without an end are left out.
func (p *part) rule(staff int, own map[int]bool, starts []int64) (u ruling) {
	var marks []mark
	for _, m := range p.marks {
		if m.staff == 0 || m.staff == staff || !own[staff] {
			m.at += starts[m.measure]
			marks = append(marks, m)
		}
	}
	slices.SortStableFunc(marks, func(a, b mark) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(min(a.kind, accent), min(b.kind, accent)))
	})
	type hairpin struct{ staff, number int }
	open := map[hairpin]mark{}
	solo := int64(-1) // when the present one began
	endSolo := func(at int64) {
		if solo >= 0 {
			u.solos = append(u.solos, stretch{solo, at})
		}
	}
	end := func(h hairpin, at int64) {
		switch m := open[h]; m.kind {
		case growing:
			u.louder = append(u.louder, stretch{m.at, at})
		case fading:
			u.softer = append(u.softer, stretch{m.at, at})
		}
		delete(open, h)
	}
	for _, m := range marks {
		h := hairpin{m.staff, m.number}
		if m.kind == level || m.kind == growing || m.kind == fading {
			for staff := range maxStaves + 1 {
				end(hairpin{staff, inWords}, m.at)
			}
		}
		switch m.kind {
		case level:
			u.levels = append(u.levels, m)
		case accent:
			u.accents = append(u.accents, m)
		case leading:
			endSolo(m.at)
			solo = m.at
		case following:
			endSolo(m.at)
			solo = -1
		case ended:
			end(h, m.at)
		default:
			end(h, m.at)
			open[h] = m
		}
	}
	endSolo(math.MaxInt64)
	u.louder, u.softer = joined(u.louder), joined(u.softer)
	return u
}

// joined are stretches as few as possible, in order.
func joined(all []stretch) []stretch {
	slices.SortFunc(all, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
	out := all[:0]
	for _, s := range all {
		if last := len(out) - 1; last >= 0 && s.from <= out[last].to {
			out[last].to = max(out[last].to, s.to)
		} else if s.from < s.to {
			out = append(out, s)
		}
	}
	return out
}

// over reports whether one of some stretches lies over a note in part.
func over(all []stretch, from, to int64) bool {
	i, _ := slices.BinarySearchFunc(all, from, func(s stretch, at int64) int {
		if s.to > at {
			return 1
		}
		return -1
	})
	return i < len(all) && all[i].from < max(to, from+1)
}

// last is the last mark up to a time.
func last(marks []mark, at int64) (m mark, ok bool) {
	i, _ := slices.BinarySearchFunc(marks, at, func(m mark, at int64) int {
		if m.at > at {
			return 1
		}
		return -1
	})
	if i == 0 {
		return mark{}, false
	}
	return marks[i-1], true
}

// phrase puts what the marks say upon the notes of the part. starts are the measures' in
// ticks since the start of the score as written.
func (p *part) phrase(starts []int64) {
	own := map[int]bool{}
	for _, m := range p.marks {
		own[m.staff] = true
	}
	staves := map[uint8]*ruling{}
	for k, notes := range p.measures {
		for i := range notes {
			n := &notes[i]
			u := staves[n.staff]
			if u == nil {
				found := p.rule(int(n.staff), own, starts)
				u = &found
				staves[n.staff] = u
			}
			u.upon(n, starts[k]+n.at)
		}
	}
}

func (u *ruling) upon(n *note, at int64) {
	if over(u.louder, at, at+n.length) {
		n.marks |= expr.Louder
	}
	if over(u.softer, at, at+n.length) {
		n.marks |= expr.Softer
	}
	if at-u.ended >= restQuarters*quarterTicks {
		u.rested = u.ended
	}
	u.ended = max(u.ended, at+n.length)
	n.leads = slices.ContainsFunc(u.solos, func(s stretch) bool { return s.from >= u.rested && s.from <= at && at < s.to })
	velocity := uint8(0)
	if m, ok := last(u.levels, at); ok {
		velocity = m.velocity
	}
	beat := at - n.stolen
	if m, ok := last(u.accents, beat); ok && m.at == beat && !n.marks.Has(expr.Grace) {
		velocity = m.velocity
		n.marks |= expr.Accented
	}
	if n.velocity == 0 {
		n.velocity = velocity
	}
}
