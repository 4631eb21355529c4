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

// stretch is consecutive bars in which a part that leads is covered.
type stretch struct {
	part        int
	first, last int     // bars, from 0
	under       float64 // sum over the bars of how far under the part is, dB
	telling             // empty if it is not told
}

// explain finds the stretches that earn a warning, the most serious first, and says why of
// those that are told.
func (a *analysis) explain(ctx context.Context) (found [places][]stretch, err error) {
	for in := range places {
		all := a.stretches(in)
		stays := make([]bool, len(all))
		err := a.share(ctx, len(all), func(e *ear, i int) {
			stays[i] = newCase(a, e, in, &all[i]).measure(in, undoubled).state == Lost
		})
		if err != nil {
			return found, err
		}
		for i := range all {
			if stays[i] {
				found[in] = append(found[in], all[i])
			}
		}
		look := found[in][:min(len(found[in]), maxLooked)]
		err = a.share(ctx, len(look), func(e *ear, i int) { look[i].telling = newCase(a, e, in, &look[i]).words() })
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

// stretches finds what may earn a warning; see the package's documentation.
func (a *analysis) stretches(in place) (found []stretch) {
	open := make([]*candidate, len(a.score.parts))
	closeIt := func(part int) {
		if c := open[part]; c != nil && 2*c.leads >= c.bars() && c.under >= needed(c.bars())*float64(c.bars()) {
			found = append(found, c.stretch)
		}
		open[part] = nil
	}
	for bar, parts := range a.bars {
		for _, p := range parts {
			h := &p.heard[in]
			c := open[p.part]
			if c != nil && c.last < bar-1 {
				closeIt(p.part)
				c = nil
			}
			if h.state != Lost {
				continue
			}
			if c == nil {
				c = &candidate{stretch: stretch{part: p.part, first: bar}}
				open[p.part] = c
			}
			c.last = bar
			c.under -= h.audibilityDB
			if p.behind < leads {
				c.leads++
			}
		}
	}
	for part := range open {
		closeIt(part)
	}
	slices.SortFunc(found, func(a, b stretch) int {
		return cmp.Or(cmp.Compare(b.under, a.under), cmp.Compare(a.first, b.first), cmp.Compare(a.part, b.part))
	})
	return found
}

// leads is how much less than what draws most a part may draw, in log odds, to be a line that a composer
// wants heard. This and the limits of [needed] are ours, chosen on the movements of testdata/evidence/lines.md: what
// finds more of the faults that are planted there warns of music that works as well.
const leads = 0.3

// How far under its threshold a part must be over a stretch to be told, dB in the mean: a single bar by much, since
// the model is not good to a few dB, a longer one by less.
const (
	neededInABar = 5.5
	lessByBar    = 1.5
	leastDB      = 1.0
)

func needed(bars int) float64 { return max(neededInABar-lessByBar*float64(bars-1), leastDB) }

func (s *stretch) bars() int { return s.last - s.first + 1 }

// candidate is a stretch that is still growing.
type candidate struct {
	stretch
	leads int // bars in which the part leads
}
