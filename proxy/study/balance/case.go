package balance

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr/acoustics"
)

// caseOf is a stretch as it is looked into: its moments, and how the part is heard.
type caseOf struct {
	heard
	*analysis
	ear       *ear
	in        place
	stretch   *stretch
	moments   []moment // those in which the part sounds, or a sample of them
	dynamicDB float64  // of the part, mean
	maskers   []group  // see findMaskers: the one that masks most, and the next if it masks nearly as much
}

// group is equal instruments that sound together.
type group struct {
	instrument *acoustics.Instrument
	parts      []int
	players    int
	dynamicDB  float64 // mean
	weight     int     // for how long one of them masks most
}

func newCase(a *analysis, e *ear, in place, s *stretch) *caseOf {
	c := &caseOf{analysis: a, ear: e, in: in, stretch: s}
	w := newSweep(a.score, s.first)
	for bar := s.first; bar <= s.last; bar++ {
		for _, m := range w.bar(bar) {
			if m.of(s.part) >= 0 {
				m.group(a.notes, bar)
				c.moments = append(c.moments, m)
			}
		}
	}
	if n := len(c.moments); n > maxHeard {
		for i := range maxHeard {
			c.moments[i] = c.moments[i*n/maxHeard]
		}
		c.moments = c.moments[:maxHeard]
	}
	c.heard = c.measure(in, unchanged)
	sum, weight := 0.0, 0
	for i := range c.moments {
		sum += c.source(i).DynamicDB * float64(c.moments[i].weight)
		weight += c.moments[i].weight
	}
	c.dynamicDB = sum / float64(weight)
	return c
}

// source is the part's in a moment.
func (c *caseOf) source(i int) *acoustics.Source {
	m := &c.moments[i]
	return &m.sources[m.of(c.stretch.part)]
}

// measure hears the line of the part over the stretch in a place, after a change.
func (c *caseOf) measure(in place, apply change) heard {
	var t tally
	for i := range c.moments {
		m := &c.moments[i]
		at := m.of(c.stretch.part)
		level := c.ear.try(in, m, at, apply)[at].LevelDB
		t.energy += float64(m.weight) * math.Pow(10, level/10)
		t.sample(c.ear.together(in, m)[m.line[at]].AudibilityDB, m.weight)
		if len(m.players) == 1 {
			t.alone += m.weight
		}
	}
	return t.heard()
}

// findMaskers finds who masks the line while one cannot follow it.
func (c *caseOf) findMaskers() {
	masked := map[int]int{} // by part: for how long it masks most
	covered := 0
	for i := range c.moments {
		m := &c.moments[i]
		at := m.of(c.stretch.part)
		c.ear.listen(c.in, m.sources)
		sound := c.ear.together(c.in, m)[m.line[at]]
		if sound.AudibilityDB >= acoustics.HeardDB {
			continue
		}
		covered += m.weight
		if sound.Masker >= 0 {
			masked[m.players[sound.Masker].part] += m.weight
		}
	}
	var groups []group
	for part := range c.score.parts {
		weight, ok := masked[part]
		if !ok {
			continue
		}
		in := c.instrumentOf(part)
		i := slices.IndexFunc(groups, func(g group) bool { return g.instrument == in })
		if i < 0 {
			i = len(groups)
			groups = append(groups, group{instrument: in})
		}
		groups[i].weight += weight
	}
	slices.SortStableFunc(groups, func(a, b group) int { return cmp.Compare(b.weight, a.weight) })
	groups = groups[:min(len(groups), 2)]
	if len(groups) == 2 && 3*groups[1].weight < covered {
		groups = groups[:1]
	}
	for i := range groups {
		c.gather(&groups[i])
	}
	c.maskers = groups
}

// instrumentOf is what a part plays in the first moment of the stretch in which it
// sounds.
func (c *caseOf) instrumentOf(part int) *acoustics.Instrument {
	for i := range c.moments {
		if at := c.moments[i].of(part); at >= 0 {
			return c.moments[i].sources[at].Instrument
		}
	}
	return nil
}

// gather finds all that play a group's instrument for half of the time or more, or of
// those who play it less, the one that does so most.
func (c *caseOf) gather(g *group) {
	type share struct{ part, weight, players int }
	var shares []share
	total, sum, weight := 0, 0.0, 0
	for i := range c.moments {
		m := &c.moments[i]
		total += m.weight
		for j, src := range m.sources {
			part := m.players[j].part
			if src.Instrument != g.instrument || part == c.stretch.part {
				continue
			}
			k := slices.IndexFunc(shares, func(s share) bool { return s.part == part })
			if k < 0 {
				k = len(shares)
				shares = append(shares, share{part: part})
			}
			shares[k].weight += m.weight
			shares[k].players = max(shares[k].players, src.Players*(1+len(src.AlsoHz)))
			sum += src.DynamicDB * float64(m.weight)
			weight += m.weight
		}
	}
	g.dynamicDB = sum / float64(weight)
	often := slices.DeleteFunc(slices.Clone(shares), func(s share) bool { return 2*s.weight < total })
	if len(often) == 0 {
		often = []share{slices.MaxFunc(shares, func(a, b share) int { return cmp.Compare(a.weight, b.weight) })}
	}
	slices.SortFunc(often, func(a, b share) int { return cmp.Compare(a.part, b.part) })
	for _, s := range often {
		g.parts = append(g.parts, s.part)
		g.players += s.players
	}
}

// written keeps a dynamic within what can be written.
func written(db float64) float64 { return math.Min(math.Max(db, acoustics.Softest), acoustics.Loudest) }
