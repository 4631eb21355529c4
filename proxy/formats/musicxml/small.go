package musicxml

import "slices"

// overRests finds the small notes of a measure that has no other notes, and that lie over rests.
func overRests(notes []note, rests []stretch) {
	for i := range notes {
		if notes[i].small == ordinary {
			return
		}
	}
	for i := range notes {
		n := &notes[i]
		if slices.ContainsFunc(rests, func(s stretch) bool { return s.from <= n.at && n.at < s.to }) {
			n.small = cueOverRests
		}
	}
}

// sharedByOthers is the part of a measure's small notes that another part has to play too, from
// which on they are taken as a cue; ours, not published.
const sharedByOthers = 0.75

// onset is when a note starts in its measure, and which of the twelve it is: a cue may stand in
// another octave.
type onset struct {
	at    int64
	class uint8
}

// leaveCues takes away the small notes that only tell a player what another part plays. These
// are, measure by measure: those that another part plays at the same time, in whatever octave; and
// where no other part is in the file, those that stand alone in the measure of a part of one
// staff, over rests. All others are played.
func leaveCues(measures int, parts []*part) {
	for k := range measures {
		for _, p := range parts {
			if k >= len(p.measures) || !slices.ContainsFunc(p.measures[k], func(n note) bool { return n.small != ordinary }) {
				continue
			}
			if isCue(p, k, parts) {
				p.measures[k] = slices.DeleteFunc(p.measures[k], func(n note) bool { return n.small != ordinary })
				p.cues = append(p.cues, k)
			}
		}
	}
}

// isCue reports whether the small notes of a part's measure are a cue.
func isCue(p *part, k int, parts []*part) bool {
	others := map[onset]bool{}
	for _, o := range parts {
		if o == p || k >= len(o.measures) {
			continue
		}
		for i := range o.measures[k] {
			if n := &o.measures[k][i]; n.small == ordinary {
				others[onset{n.at, n.key % 12}] = true
			}
		}
	}
	all, shared, over := 0, 0, 0
	for i := range p.measures[k] {
		n := &p.measures[k][i]
		if n.small == ordinary {
			continue
		}
		all++
		if others[onset{n.at, n.key % 12}] {
			shared++
		}
		if n.small == cueOverRests && n.staff == 1 {
			over++
		}
	}
	if float64(shared) >= sharedByOthers*float64(all) {
		return true
	}
	return len(parts) == 1 && over == all && !p.manyStaves
}
