package balance

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr"
)

// hairpinSteps is in how many steps a hairpin is heard. Ours.
const hairpinSteps = 16

// hairpins lets what stands under a hairpin, or under cresc. and dim., grow or fade to the mark that follows it, as a
// line in dB over time. Without a mark that is louder after a crescendo, or softer after a diminuendo, nothing tells how
// far it goes, and nothing is changed; nor is a part whose file has swells of its own.
func (s *score) hairpins(piece *expr.Score) {
	if piece == nil {
		return
	}
	const under = expr.Louder | expr.Softer
	marked := map[noteAt]expr.Marks{}
	for i := range piece.Notes {
		if n := &piece.Notes[i]; n.Marks&under != 0 && int(n.Part) < len(piece.Parts) {
			marked[placeOf(piece.Parts[n.Part], n.Beat)] |= n.Marks & under
		}
	}
	for i := range s.parts {
		p := &s.parts[i]
		if len(p.swells) > 1 {
			continue
		}
		base := p.swellAt(math.MaxInt64) // what the mixer adds throughout
		marks := func(k int) expr.Marks { return marked[placeOf(p.name, p.notes[k].from)] }
		for from := 0; from < len(p.notes); {
			to := from + 1
			for to < len(p.notes) && marks(to) == marks(from) {
				to++
			}
			if marks(from) != 0 && to < len(p.notes) {
				p.hairpin(from, to, marks(from) == expr.Louder, base)
			}
			from = to
		}
		slices.SortStableFunc(p.swells, func(a, b swell) int { return cmp.Compare(a.at, b.at) })
	}
}

// hairpin leads from the level of a note to that of another, which is the first after it; the caller puts the swells in order. base is what swells say without it.
func (p *part) hairpin(from, to int, louder bool, base float64) {
	change := p.notes[to].dynamicDB - p.notes[from].dynamicDB
	if change == 0 || change > 0 != louder {
		return
	}
	start, end := p.notes[from].on, time.Duration(0)
	for _, n := range p.notes[from:to] {
		end = max(end, n.off)
	}
	end = min(end, p.notes[to].on)
	for i := range hairpinSteps {
		p.swells = append(p.swells, swell{start + time.Duration(i)*(end-start)/hairpinSteps, base + change*(float64(i)+0.5)/hairpinSteps})
	}
	p.swells = append(p.swells, swell{end, base})
}
