package nuance

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr"
)

// change is a dynamic that holds from a time on.
type change struct {
	at    float64
	level float32
}

// ramp is a hairpin, or a word that stands for one.
type ramp struct {
	from, to float64
	by       float32 // marks
}

// part is what the dynamics of a part say, over all its staves: between two staves of a
// keyboard a mark is meant for both hands.
type part struct {
	changes []change
	staves  [][]change
	runs    [2][]ramp // louder, softer; by is not known yet
	ramps   []ramp

	now, ramp int // while notes are gone through
}

// dynamicsOf is what the written dynamics say of some notes of a score, by their indices;
// nothing where the notes' velocities follow them.
func dynamicsOf(s *expr.Score, notes []int32) []Written {
	var p part
	out := make([]Written, len(notes))
	for k, i := range notes {
		out[k].Sforzato = p.hear(&s.Notes[i])
	}
	p.settle()
	if len(p.changes) == 0 {
		return out
	}
	staff := make([]int, math.MaxUint8+1) // where each staff is among its changes
	for k, i := range notes {
		n := &s.Notes[i]
		p.tell(n.On.Seconds(), n.Staff, &staff[n.Staff], &out[k])
	}
	return out
}

// Two hands come to the same mark within so many seconds; a hairpin goes on over a gap of so
// many; and a dynamic that comes so soon after one is where it leads. Ours.
const (
	sameMark    = 0.5
	sameRun     = 1.5
	leadsWithin = 2
	soonest     = 0.3
)

// hear takes the next note, and reports whether it alone is louder than the dynamic that holds.
func (p *part) hear(n *expr.Written) (sforzato bool) {
	at := n.On.Seconds()
	for k, m := range [...]expr.Marks{expr.Louder, expr.Softer} {
		if !n.Marks.Has(m) {
			continue
		}
		if last := len(p.runs[k]) - 1; last >= 0 && at-p.runs[k][last].to < sameRun {
			p.runs[k][last].to = at
		} else {
			p.runs[k] = append(p.runs[k], ramp{from: at, to: at})
		}
	}
	if n.Dynamic == 0 || n.Marks.Has(expr.Grace) {
		return false
	}
	for len(p.staves) <= int(n.Staff) {
		p.staves = append(p.staves, nil)
	}
	own := &p.staves[n.Staff]
	level := float32(n.OverMezzoForte())
	last := len(*own) - 1
	switch {
	case last >= 0 && (*own)[last].level == level:
		return false
	case last >= 0 && n.Marks.Has(expr.Accented):
		return true
	case last >= 0 && at-(*own)[last].at < 0.01:
		(*own)[last].level = level
	default:
		*own = append(*own, change{at, level})
	}
	k := len(p.changes) - 1
	switch {
	case k >= 0 && at-p.changes[k].at < sameMark:
		p.changes[k].level = level
	case k >= 0 && last < 0 && p.changes[k].level == level:
	default:
		p.changes = append(p.changes, change{at, level})
	}
	return false
}

// settle finds where the hairpins lead.
func (p *part) settle() {
	for k, runs := range p.runs {
		sign := float32(1 - 2*k)
		for _, r := range runs {
			r.to, r.by = max(r.to, r.from+soonest), sign
			for c := 1; c < len(p.changes); c++ {
				if p.changes[c].at <= r.from+0.05 {
					continue
				}
				if by := p.changes[c].level - p.changes[c-1].level; p.changes[c].at < r.to+leadsWithin && by*sign > 0 {
					r.by = by
				}
				break
			}
			p.ramps = append(p.ramps, r)
		}
	}
	slices.SortStableFunc(p.ramps, func(a, b ramp) int { return cmp.Compare(a.from, b.from) })
}

// never stands for a time that does not come, s.
const never = 1000

// tell tells of a note at a time, which is not before the last one's. own is where its staff
// is among the staff's changes.
func (p *part) tell(at float64, staff uint8, own *int, to *Written) {
	const now = 1e-6
	for p.now+1 < len(p.changes) && p.changes[p.now+1].at <= at+now {
		p.now++
	}
	c := p.changes[p.now]
	to.Marked = c.at <= at+now
	if !to.Marked {
		c.level = 0
	}
	to.Level, to.Before, to.After, to.Staff = c.level, c.level, c.level, c.level
	to.Age, to.Left = float32(max(at-c.at, 0)), never
	if p.now > 0 {
		to.Before = p.changes[p.now-1].level
	}
	if p.now+1 < len(p.changes) && to.Marked {
		to.After, to.Left = p.changes[p.now+1].level, float32(p.changes[p.now+1].at-at)
	}
	if int(staff) < len(p.staves) {
		of := p.staves[staff]
		for *own+1 < len(of) && of[*own+1].at <= at+now {
			*own++
		}
		if len(of) > 0 && of[*own].at <= at+now {
			to.Staff = of[*own].level
		}
	}
	for p.ramp < len(p.ramps) && p.ramps[p.ramp].from < c.at-0.05 && p.ramps[p.ramp].to < at {
		p.ramp++
	}
	line := to.Level
	for k := p.ramp; k < len(p.ramps) && p.ramps[k].from <= at; k++ {
		if r := &p.ramps[k]; r.from >= c.at-0.05 {
			line += r.by * float32(math.Min(1, (at-r.from)/(r.to-r.from)))
		}
	}
	to.Line = min(max(line, -4), 3.5)
}
