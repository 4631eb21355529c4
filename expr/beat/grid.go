package beat

import "math"

// A grid is one reading of the onsets as multiples of a common unit, the shortest
// regular step of the music. Several are followed at once, each with its cost in
// nats, for an onset off the grid can be a finer division, a new tempo or an ornament,
// and only what comes after tells.
//
// The sequencer's exactness is what this rests on: an onset is where the grid has it,
// to about a millisecond and a half. All figures here are ours, not published.
type grid struct {
	stand
	cost float64
	on   [window]int32 // the numbers of the onsets, in units, or offGrid

	beat  int32   // units in a beat; 0 is unknown
	phase int32   // the number of one beat
	count float64 // and which beat of all it is
	bar   int32   // beats in a bar; 0 is unknown
	first int32   // the number of the first beat of one bar

	lengthTrust float64 // nats in favour of this length of the beat,
	barTrust    float64 // and of this bar
}

// stand is where a grid has come to.
type stand struct {
	unit       float64 // seconds; 0 until two onsets have come
	at         float64 // seconds: the latest onset that stands in the grid,
	pos        int32   // and its number in units
	off        int     // onsets in a row that did not stand in it
	bent       int     // onsets since the tempo changed
	placeTrust float64 // nats in favour of the beat's place
}

// offGrid is the number of an onset that stands in no grid.
const offGrid = math.MinInt32

const (
	window     = 96   // onsets that are remembered: 12 s of sixteenths at 120
	readings   = 5    // grids that are followed
	maxOff     = 6    // onsets in a row off the grid after which it is given up for a better one
	finest     = 0.03 // seconds, the shortest unit: a twelfth of a beat, for sixteenths with triplets, at 166
	exactBy    = 0.0015
	exactShare = 0.002 // of the interval: what a sequencer's tempo steps add
	within     = 3.5   // deviations that still stand in the grid
	gain       = 0.3   // of a deviation that is taken for the grid's own
	manyUnits  = 1 << 20

	ornamentCost = 6.0
	bendCost     = 5.0
	bentCost     = 1.5  // where the tempo has just changed, it changes on
	bendWidth    = 0.12 // of the logarithm of the tempo's ratio
	bendMost     = 0.4
	bentTrust    = 0.7 // of the trust in the beat's place is left after a change of tempo
	forgetting   = 0.97
)

// divisions of a unit, and what they cost.
var divisions = [...]struct {
	by   int32
	cost float64
}{{2, 4}, {3, 4.5}, {4, 6}, {6, 7}}

// reading is a grid to be: what an onset makes of one that is followed.
type reading struct {
	stand
	cost   float64
	parent int
	by     int32 // the parent's unit is divided by it
	on     int32
}

// beam is the grids that are followed, the cheapest first.
type beam struct {
	grids, next [readings]grid
	n           int
	offers      [readings]reading
	nOffers     int
}

// step hears an onset, which is kept at index slot of the window.
func (b *beam) step(at float64, slot int) {
	if b.n == 0 {
		g := &b.grids[0]
		*g = grid{stand: stand{at: at}}
		for i := range g.on {
			g.on[i] = offGrid
		}
		g.on[slot] = 0
		b.n = 1
		return
	}
	b.nOffers = 0
	for i := range b.n {
		b.read(i, at)
	}
	least := b.offers[0].cost
	for i, o := range b.offers[:b.nOffers] {
		g := &b.next[i]
		*g = b.grids[o.parent]
		if o.by > 1 {
			g.divide(o.by)
		}
		g.stand, g.cost = o.stand, (o.cost-least)*forgetting
		g.on[slot] = o.on
	}
	b.grids, b.next, b.n = b.next, b.grids, b.nOffers
}

// read offers all readings of an onset that follow from a grid.
func (b *beam) read(parent int, at float64) {
	g := &b.grids[parent]
	d := at - g.at
	o := reading{stand: g.stand, cost: g.cost + ornamentCost, parent: parent, by: 1, on: offGrid}
	if o.off++; g.unit == 0 { // the first was the ornament
		o.at, o.pos, o.on = at, 0, 0
	}
	if o.off <= maxOff || parent == 0 {
		b.offer(o)
	}
	if g.unit == 0 {
		b.offer(reading{stand: stand{unit: d, at: at, pos: 1}, cost: g.cost, parent: parent, by: 1, on: 1})
		return
	}
	sigma := exactBy + exactShare*d
	cost := g.cost - math.Log(g.unit) // a finer grid has more places for an onset
	n := math.Max(1, math.Round(d/g.unit))
	if e := d - n*g.unit; math.Abs(e) <= within*sigma {
		pos := g.pos + int32(n)
		b.offer(reading{
			stand: stand{unit: g.unit + gain*e/n, at: at - e/2, pos: pos, bent: g.bent + 1, placeTrust: g.placeTrust},
			cost:  cost + e*e/(2*sigma*sigma), parent: parent, by: 1, on: pos,
		})
		return
	}
	for _, div := range divisions {
		unit := g.unit / float64(div.by)
		n := math.Max(1, math.Round(d/unit))
		e := d - n*unit
		if unit < finest || math.Abs(e) > 2*sigma || g.pos > manyUnits {
			continue
		}
		pos := g.pos*div.by + int32(n)
		b.offer(reading{
			stand: stand{unit: unit, at: at, pos: pos, bent: g.bent + 1, placeTrust: g.placeTrust},
			cost:  cost + div.cost + math.Log(float64(div.by)) + e*e/(2*sigma*sigma), parent: parent, by: div.by, on: pos,
		})
		break // what a coarser division explains, a finer one would too
	}
	if g.bent < 2 {
		cost += bentCost
	} else {
		cost += bendCost
	}
	for n := math.Max(1, math.Floor(d/g.unit)-1); n <= math.Floor(d/g.unit)+2; n++ {
		r := math.Log(d / (n * g.unit))
		if math.Abs(r) > bendMost || d < n*finest {
			continue
		}
		pos := g.pos + int32(n)
		b.offer(reading{
			stand: stand{unit: d / n, at: at, pos: pos, placeTrust: g.placeTrust * bentTrust},
			cost:  cost + r*r/(2*bendWidth*bendWidth) + g.weakness(pos), parent: parent, by: 1, on: pos,
		})
	}
}

// weakness is the cost of a place in the beat, where the tempo says too little.
func (g *grid) weakness(pos int32) float64 {
	if g.beat == 0 {
		return 0
	}
	switch k := mod(pos-g.phase, g.beat); {
	case k == 0:
		return 0
	case 2*k == g.beat:
		return 1.5
	case 4*k%g.beat == 0 || 3*k%g.beat == 0:
		return 3
	}
	return 5
}

// offer keeps a reading if it is among the cheapest and nothing cheaper has come to
// the same stand.
func (b *beam) offer(o reading) {
	i := b.nOffers
	for j := range b.offers[:b.nOffers] {
		if p := &b.offers[j]; p.at == o.at && math.Abs(p.unit-o.unit) < 0.002*o.unit {
			if p.cost <= o.cost {
				return
			}
			i = j
			break
		}
	}
	if i == readings {
		if i--; b.offers[i].cost <= o.cost {
			return
		}
	} else if i == b.nOffers {
		b.nOffers++
	}
	for i > 0 && b.offers[i-1].cost > o.cost {
		b.offers[i] = b.offers[i-1]
		i--
	}
	b.offers[i] = o
}

// beats is the count of beats at a number of units.
func (g *grid) beats(pos int32) float64 { return g.count + float64(pos-g.phase)/float64(g.beat) }

// adopt takes over a metre that has been found in it, and trusts what it had before by
// so many nats more, where it is sure. count is the count of beats at a number of units,
// for a grid that had none.
func (g *grid) adopt(m metre, more float64, count func(pos int32) float64) {
	beat, place, bar := m.beat == g.beat, false, false
	if beat {
		place = mod(m.phase-g.phase, m.beat) == 0
		bar = place && m.bar == g.bar && mod(m.first-g.first, m.beat*m.bar) == 0
	}
	g.lengthTrust = trusted(g.lengthTrust, more*m.sure, beat)
	g.placeTrust = trusted(g.placeTrust, more*m.sure, place)
	g.barTrust = trusted(g.barTrust, more*m.barSure, bar)
	phase := g.pos - mod(g.pos-m.phase, m.beat)
	if g.beat > 0 {
		count = g.beats
	}
	g.count = math.Round(count(phase))
	g.beat, g.phase, g.bar = m.beat, phase, m.bar
	g.first = g.pos - mod(g.pos-m.first, m.beat*m.bar)
}

// trusted is the trust in what is found again, or has been left.
func trusted(before, more float64, again bool) float64 {
	if !again {
		return 0
	}
	return min(trustMost, before+more)
}

// divide makes the unit finer.
func (g *grid) divide(by int32) {
	for i, p := range g.on {
		if p != offGrid {
			g.on[i] = p * by
		}
	}
	g.phase *= by
	g.first *= by
	g.beat *= by
}

// tidy makes the unit as coarse as all onsets of the window and the beat allow, and
// keeps numbers small.
func (g *grid) tidy() {
	base, common := g.pos, g.beat
	if g.beat > 0 {
		common = gcd(common, g.pos-g.phase)
	}
	for _, p := range g.on {
		if p != offGrid {
			base = min(base, p)
			if common != 1 {
				common = gcd(common, g.pos-p)
			}
		}
	}
	if common = max(common, 1); common == 1 && g.pos < manyUnits {
		return
	}
	for i, p := range g.on {
		if p != offGrid {
			g.on[i] = (p - base) / common
		}
	}
	g.phase = (g.phase - base) / common
	g.first = (g.first - base) / common

	g.pos = (g.pos - base) / common
	g.beat /= common
	g.unit *= float64(common)
}

func gcd(a, b int32) int32 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// mod is a modulo n, never negative.
func mod(a, n int32) int32 {
	if a %= n; a < 0 {
		a += n
	}
	return a
}
