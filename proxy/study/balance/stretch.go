package balance

import (
	"cmp"
	"context"
	"slices"
)

// maxWarnings bounds the different warnings of one place. Ours: what one reads before a
// lesson. maxLooked bounds the stretches that are looked into for them, of which many
// may be the same case: a passage that returns.
const (
	maxWarnings = 12
	maxLooked   = 60
)

// stretch is bars in which the tune is behind.
type stretch struct {
	part        int     // that carries it
	first, last int     // bars, from 0
	under       float64 // sum over the bars of how far it is behind, dB
	telling             // empty if it is not told
}

// explain finds the stretches that earn a warning, the most serious first, and says why of
// those that are told.
func (a *analysis) explain(ctx context.Context) (found [places][]stretch, err error) {
	for in := range places {
		found[in] = a.stretches(in)
		look := found[in][:min(len(found[in]), maxLooked)]
		err := a.share(ctx, len(look), func(e *ear, i int) { look[i].telling = newCase(a, e, in, &look[i]).words() })
		if err != nil {
			return found, err
		}
		choose(look)
	}
	return found, nil
}

// choose keeps the texts of the most serious cases and of all that are alike.
func choose(all []stretch) {
	kept := map[string]bool{}
	for i := range all {
		s := &all[i]
		if !kept[s.alike] && len(kept) == maxWarnings {
			s.telling = telling{}
			continue
		}
		kept[s.alike] = true
	}
}

// stretches finds where the tune is behind by as much as earns a warning, the most serious first; see the package's
// documentation.
func (a *analysis) stretches(in place) (found []stretch) {
	var open *candidate
	end := func() {
		if open != nil && open.under >= needed(open.bars())*float64(open.bars()) {
			open.part = open.who()
			found = append(found, open.stretch)
		}
		open = nil
	}
	parts := make([]float64, len(a.score.parts))
	for bar, b := range a.bars {
		by := parts[:len(b)]
		behind := b.tuneBehind(in, by)
		if behind < leastBehindDB {
			continue
		}
		if open != nil && (bar-open.last > 1+mostBetween || !open.goesOn(b, by)) {
			end()
		}
		if open == nil {
			open = &candidate{stretch: stretch{first: bar}, parts: make([]share, len(a.score.parts))}
		}
		open.take(bar, behind, b, by)
	}
	end()
	slices.SortFunc(found, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(b.under, a.under), cmp.Compare(a.first, b.first))
	})
	return found
}

// A bar in which the tune is behind by less than this, dB, is none of a stretch, but so many of them may lie between two
// that are. How far it must be behind to be told, dB in the mean of the bars: in a single bar by much, since
// the model is not good to a few dB, in a longer stretch by less. All are ours, chosen on the movements of
// testdata/evidence/lines.md: what finds more of the faults that are planted there warns more of music that works.
const (
	leastBehindDB = 1.0
	mostBetween   = 1
	neededInABar  = 10.0
	lessByBar     = 2.0
	leastDB       = 2.0
)

func needed(bars int) float64 { return max(neededInABar-lessByBar*float64(bars-1), leastDB) }

func (s *stretch) bars() int { return s.last - s.first + 1 }

// candidate is a stretch that is still growing.
type candidate struct {
	stretch
	taken int // bars
	parts []share
}

// share is what a part has to do with it, added up over the bars, and in how many of them its line is the
// one that is behind most.
type share struct {
	behind, draws float64
	most          int
}

// take takes a bar in which the tune is behind, and by how much each part is.
func (c *candidate) take(bar int, behind float64, b heardBar, by []float64) {
	c.last = bar
	c.under += behind
	c.taken++
	most := slices.Max(by)
	for i, p := range b {
		s := &c.parts[p.part]
		s.behind += by[i]
		s.draws += p.leads * p.draws
		if by[i] == most {
			s.most++
		}
	}
}

// goesOn reports whether somebody who was behind most in all bars so far is so in another.
func (c *candidate) goesOn(b heardBar, by []float64) bool {
	most := slices.Max(by)
	for i, p := range b {
		if by[i] == most && c.parts[p.part].most == c.taken {
			return true
		}
	}
	return false
}

// who is the part that carries the line which is most to be missed: of those that play it, the one that draws most.
func (c *candidate) who() (part int) {
	for i, s := range c.parts {
		if most := c.parts[part]; s.behind > most.behind+1e-9 || s.behind > most.behind-1e-9 && s.draws > most.draws {
			part = i
		}
	}
	return part
}
