package pedalling

import (
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

// Advise is what pianists would do about each moment of a score.
func (p *Passage) Advise() []Advice {
	at, after := p.Shares(Scored)
	return p.Decide(at, after, Scored)
}

// Decide is what shares of players amount to, moment by moment.
func (p *Passage) Decide(at, after []float64, g Grade) []Advice {
	least := p.Threshold(at, after)
	all := make([]Advice, len(at))
	var r running
	for i := range all {
		all[i] = Advised
		if g == Sounded {
			least = r.least(at[i], after[i], p.next[i])
		}
		if at[i] > least {
			all[i] |= DownAt
		}
		if after[i] > least && p.next[i] >= atTime || at[i] > least && p.next[i] < atTime {
			all[i] |= DownAfter
		}
	}
	return all
}

// Shares are the shares of players whose foot is down as each moment starts, and after, as fitted.
func (p *Passage) Shares(g Grade) (at, after []float64) {
	at, after = make([]float64, len(p.Terms)), make([]float64, len(p.Terms))
	for i, row := range p.Terms {
		at[i], after[i] = share(row, g, 0), share(row, g, 1)
	}
	return at, after
}

// atTime is for how long the foot is as at the onset, s: as long as it stays up for a change.
const atTime = 0.15

// Threshold is from what share on the foot is down, so that it is down for as long as the shares say.
func (p *Passage) Threshold(at, after []float64) float64 {
	type weighed struct{ x, w float64 }
	var all []weighed
	sum := 0.0
	for i := range at {
		on := min(p.next[i], atTime)
		off := min(p.next[i], mostOnset) - on
		all = append(all, weighed{at[i], on}, weighed{after[i], off})
		sum += on*clip(at[i]) + off*clip(after[i])
	}
	slices.SortFunc(all, func(a, b weighed) int {
		switch {
		case a.x > b.x:
			return -1
		case a.x < b.x:
			return 1
		}
		return 0
	})
	down := 0.0
	for _, a := range all {
		if down += a.w; down >= sum {
			return a.x
		}
	}
	return 0
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

// weights is what a term adds to the share at the onset and after it, by grade.
type weights [Grades][2]fitted

// share is what the fit makes of a row of terms.
func share(row []float64, g Grade, which int) float64 {
	x := 0.5
	for t, v := range row {
		x += table[t][g][which].weight * v
	}
	return math.Round(x*finest) / finest
}

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
