package pedalling

import (
	"cmp"
	"math"
	"slices"
)

// Advice is what pianists were measured to do with the foot about a moment: whether it is
// down just after the onset, and whether it is on the way to the next.
type Advice uint8

// The parts of an advice. Without Advised nobody says anything.
const (
	Advised   Advice = 1 << iota
	DownAt           // the foot stays, or is, down as the notes start
	DownAfter        // and is down until the next do
)

// Passage is the moments of one part of a score with their terms.
type Passage struct {
	Terms [][]float64 // by moment
	next  []float64   // s
}

// NewPassage makes the terms of the moments of a part, in the order of time.
func NewPassage(moments []Moment) *Passage {
	n := len(moments)
	p := &Passage{Terms: make([][]float64, n), next: make([]float64, n)}
	known := make([][facts]float64, n)
	var t trace
	t.reset()
	var past, coming around
	var whole [facts]float64
	for i := range moments {
		m := &moments[i]
		p.next[i] = m.Next
		t.facts(m, &known[i])
		t.pass(m, &known[i])
		past.add(m.At, &known[i])
		row := append(make([]float64, 0, numTerms), known[i][:]...)
		p.Terms[i] = past.terms(m.At, row)
		for f, x := range known[i] {
			whole[f] += x / float64(n)
		}
	}
	for i := n - 1; i >= 0; i-- {
		if i == n-1 {
			coming.at = moments[i].At
		}
		row := coming.terms(moments[i].At, p.Terms[i])
		for _, f := range nextFacts {
			x := 0.0
			if i+1 < n {
				x = known[i+1][f]
			}
			row = append(row, x)
		}
		for _, f := range wholeFacts {
			row = append(row, whole[f])
		}
		p.Terms[i] = row
		coming.add(moments[i].At, &known[i])
	}
	return p
}

// Feet is a number for the feet of players as each moment starts, and one for after it.
type Feet struct{ At, After []float64 }

// Advise is what pianists would do about each moment of a score.
func (p *Passage) Advise() []Advice { return p.Decide(p.Shares(Scored), p.orders()) }

// Decide is what feet do by a score: the shares of players whose feet are down, as foreseen over
// the whole piece, say for how much of the time, and the orders in which moments.
func (p *Passage) Decide(shares, orders Feet) []Advice {
	least := p.threshold(orders, 0.5+plainShare*(p.downFor(shares)-0.5))
	all := make([]Advice, len(p.Terms))
	for i := range all {
		all[i] = p.tread(i, orders, least)
	}
	return all
}

// plainShare is how much of what is foreseen of a piece's share, over a half, is believed: what is foreseen
// of the moments then agrees best with players of works left out.
const plainShare = 0.75

// Hear is what feet do by shares of players, of what has sounded moment by moment.
func (p *Passage) Hear(shares Feet) []Advice {
	all := make([]Advice, len(p.Terms))
	var r running
	for i := range all {
		all[i] = p.tread(i, shares, r.least(shares.At[i], shares.After[i], p.next[i]))
	}
	return all
}

// tread is what the foot does about a moment if it is down from a least number on.
func (p *Passage) tread(i int, f Feet, least float64) Advice {
	a := Advised
	if f.At[i] > least {
		a |= DownAt
	}
	if f.After[i] > least && p.next[i] >= atTime || f.At[i] > least && p.next[i] < atTime {
		a |= DownAfter
	}
	return a
}

// Shares are the shares of players whose foot is down as each moment starts, and after, as fitted.
func (p *Passage) Shares(g Grade) Feet {
	return p.foresee(func(row []float64, which int) float64 { return share(row, g, which) })
}

// orders are which moments of the piece have the foot down rather than others, as fitted.
func (p *Passage) orders() Feet { return p.foresee(order) }

func (p *Passage) foresee(of func(row []float64, which int) float64) Feet {
	f := Feet{make([]float64, len(p.Terms)), make([]float64, len(p.Terms))}
	for i, row := range p.Terms {
		f.At[i], f.After[i] = of(row, 0), of(row, 1)
	}
	return f
}

// atTime is for how long the foot is as at the onset, s: as long as it stays up for a change.
const atTime = 0.15

// lasts is for how long the foot is as at the onset of a moment, and as after it, s.
func (p *Passage) lasts(i int) (at, after float64) {
	at = min(p.next[i], atTime)
	return at, min(p.next[i], mostOnset) - at
}

// downFor is for which part of the time shares of players have the foot down.
func (p *Passage) downFor(shares Feet) float64 {
	down, all := 0.0, 0.0
	for i := range shares.At {
		at, after := p.lasts(i)
		down += at*clip(shares.At[i]) + after*clip(shares.After[i])
		all += at + after
	}
	return down / max(all, 1e-9)
}

// threshold is from what number on the foot is down, so that it is down for a part of the time.
func (p *Passage) threshold(f Feet, part float64) float64 {
	type weighed struct{ x, w float64 }
	var all []weighed
	left := 0.0
	for i := range f.At {
		at, after := p.lasts(i)
		all = append(all, weighed{f.At[i], at}, weighed{f.After[i], after})
		left += part * (at + after)
	}
	slices.SortFunc(all, func(a, b weighed) int { return cmp.Compare(b.x, a.x) })
	for _, a := range all {
		if left -= a.w; left <= 0 {
			return a.x
		}
	}
	return math.Inf(-1)
}

func clip(x float64) float64 { return min(max(x, 0), 1) }

// Grade is how much is known.
type Grade int

// The grades.
const (
	Sounded Grade = iota // what has sounded
	Scored               // the piece
	Grades
)

// fitted is a weight and its standard error.
type fitted struct{ weight, se float64 }

// weights is what a term adds at the onset and after it: to the share, by grade, and by a score to the order of
// the moments of one piece, which is of no unit.
type weights struct {
	share [Grades][2]fitted
	order [2]fitted
}

// share is what the fit makes of a row of terms.
func share(row []float64, g Grade, which int) float64 {
	x := 0.5
	for t, v := range row {
		x += table[t].share[g][which].weight * v
	}
	return finely(x)
}

// order is how far a moment is to have the foot down rather than others of its piece.
func order(row []float64, which int) float64 {
	x := 0.0
	for t, v := range row {
		x += table[t].order[which].weight * v
	}
	return finely(x)
}

// finely rounds to what can be told apart.
func finely(x float64) float64 { return math.Round(x*finest) / finest }

// finest is how finely shares are told apart: what differs by less differs by how it was added up.
const finest = 1 << 20

// running is how much of the time players' feet have lately been down.
type running struct{ share, weight float64 }

// runningSpan is of how long that is, s. Ours.
const runningSpan = 30

// least is from what share on the foot is down where what comes is not known: the more players have
// theirs down around, the more must, as then it is the clearing that tells.
func (r *running) least(at, after, lasted float64) float64 {
	on := min(lasted, atTime)
	off := min(lasted, mostOnset) - on
	fades := math.Exp(-(on + off) / runningSpan)
	r.share = r.share*fades + on*clip(at) + off*clip(after)
	r.weight = r.weight*fades + on + off
	return (0.5 + r.share/max(r.weight, 1e-9)) / 2
}
