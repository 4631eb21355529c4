package players

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// Kinds are the names of the agreements, in order.
var Kinds = [5]string{"level", "top", "tempo", "length", "pedal"}

// SizeNames are the names of the sizes, in order.
var SizeNames = [9]string{
	"level SD, velocities", "tempo SD, log", "top over the rest, velocities",
	"top ahead of the rest, ms", "its SD, ms", "its median, ms", "its deviation by quartiles, ms",
	"first to last note of a chord, median, ms", "pedal down, share",
}

// Agreement is how far two performances agree, in the order of [Kinds]: 1 all the way, 0 no
// more than by chance. NaN where one of them varies in nothing.
type Agreement [5]float64

// Agree compares two takes of one piece.
func Agree(a, b *Features) Agreement {
	return Agreement{
		Correlation(a.Level, b.Level), Correlation(a.Top, b.Top), Correlation(a.Tempo, b.Tempo),
		Correlation(a.Length, b.Length), Kappa(a.Pedal, b.Pedal),
	}
}

// leastPairs is the fewest pairs of which a correlation is told.
const leastPairs = 9

// Correlation is Pearson's, over what both have, where NaN is nothing; NaN of fewer than nine pairs, or where one does not vary.
func Correlation(x, y []float64) float64 {
	var a, b []float64
	for i := range min(len(x), len(y)) {
		if !math.IsNaN(x[i]) && !math.IsNaN(y[i]) {
			a, b = append(a, x[i]), append(b, y[i])
		}
	}
	if len(a) < leastPairs || !(deviation(a) > 1e-9) || !(deviation(b) > 1e-9) {
		return math.NaN()
	}
	return stat.Correlation(a, b, nil)
}

// Kappa is Cohen's, of two series of yes and no.
func Kappa(p, q []bool) float64 {
	n := min(len(p), len(q))
	var both, ps, qs float64
	for i := range n {
		if p[i] {
			ps++
		}
		if q[i] {
			qs++
		}
		if p[i] == q[i] {
			both++
		}
	}
	ps, qs, both = ps/float64(n), qs/float64(n), both/float64(n)
	chance := ps*qs + (1-ps)*(1-qs)
	if chance >= 1 {
		return math.NaN()
	}
	return (both - chance) / (1 - chance)
}

// Comparison is one piece's.
type Comparison struct {
	Piece      string
	Notes      int
	Players    int
	Ours       Agreement // mean with each player
	Theirs     Agreement // mean of each two players; NaN where there is one
	Sizes      [9]float64
	TheirSizes [9]float64 // the players' mean sizes
}

// Compare holds a performance of ours against the players, and them against each other.
func (p *Piece) Compare(ours *Take) *Comparison {
	c := &Comparison{Piece: p.Name, Notes: len(p.Notes), Players: len(p.Takes)}
	us := p.Features(ours)
	theirs := make([]*Features, len(p.Takes))
	var with, among []Agreement
	for i := range p.Takes {
		theirs[i] = p.Features(&p.Takes[i])
		with = append(with, Agree(us, theirs[i]))
		for j := range i {
			among = append(among, Agree(theirs[j], theirs[i]))
		}
	}
	c.Ours, c.Theirs, c.Sizes = average(with), average(among), us.Sizes.list()
	for k := range c.TheirSizes {
		var values []float64
		for _, f := range theirs {
			values = append(values, f.Sizes.list()[k])
		}
		c.TheirSizes[k] = mean(known(values))
	}
	return c
}

// average is the mean of what is known of each kind.
func average(rows []Agreement) (m Agreement) {
	for k := range m {
		var values []float64
		for _, r := range rows {
			values = append(values, r[k])
		}
		m[k] = mean(known(values))
	}
	return m
}
