package fit

import (
	"bytes"
	"fmt"
	"go/format"
	"math"
	"slices"
	"sort"
	"strings"

	"swellbox/expr"
	"swellbox/expr/foot"
	"swellbox/expr/pedalling"
	"swellbox/proxy/study/players"
)

// pedals is when the foot of each player was down, in all pieces.
type pedals struct {
	pieces []*pedalPiece
}

// pedalPiece is a piece by moments, and by a grid of quarters of a beat.
type pedalPiece struct {
	name  string
	part  *foot.Part
	takes [][]bool // by player, by place of the grid
	of    []int32  // the moment of each place
	on    []bool   // whether the moment begins at the place
}

// add adds a piece, whose score is known with all that it says.
func (l *pedals) add(p *players.Piece, score *expr.Score, features []*players.Features) {
	x := &pedalPiece{name: p.Name}
	for _, part := range foot.Read(score) {
		if part != nil && (x.part == nil || len(part.Beats) > len(x.part.Beats)) {
			x.part = part
		}
	}
	if x.part == nil {
		return
	}
	first := p.Notes[0].Onset
	quarters := 4 / float64(p.Metres[0].Unit)
	for g := range features[0].Pedal {
		at := (first + players.PedalGrid*float64(g) - min(0, first)) * quarters
		i := sort.SearchFloat64s(x.part.Beats, at+sameTime)
		x.of = append(x.of, int32(max(i-1, 0)))
		x.on = append(x.on, i > 0 && at-x.part.Beats[i-1] < sameTime)
	}
	for _, f := range features {
		x.takes = append(x.takes, f.Pedal)
	}
	l.pieces = append(l.pieces, x)
}

// sameTime is how far apart in quarter notes a place and a moment may be.
const sameTime = 0.02

// sample is what the players did at onsets, or after them, by moment.
func (x *pedalPiece) sample(fold int, after bool, columns [][]float32) *Sample {
	n := len(x.part.Terms)
	s := &Sample{Name: x.name, Fold: fold, Terms: columns, Target: make([]float64, n), Weights: make([]float64, n)}
	for g, m := range x.of {
		if x.on[g] == after {
			continue
		}
		down := 0.0
		for _, t := range x.takes {
			if t[g] {
				down++
			}
		}
		s.Target[m] += down/float64(len(x.takes)) - 0.5
		s.Weights[m]++
	}
	for m, w := range s.Weights {
		if w == 0 {
			s.Target[m] = math.NaN()
		} else {
			s.Target[m] /= w
		}
		s.Weights[m] = w / math.Pow(float64(len(x.of)), 0.7)
	}
	return s
}

const (
	pedalPenalty = 0.01
	orderPenalty = 0.05
	leastPedal   = 0.6 // standard errors
	leastSpread  = 0.1 // of a piece, by which its places are standardised
)

// ofOrder is the place of the fit of a piece's order, after those of shares at the onset and after.
const ofOrder = 2

// pedalFit is the fit of a grade.
type pedalFit struct {
	results                      [ofOrder + 1]*Fitted
	without                      [ofOrder + 1][Folds][]float64
	kappa, several, among, share float64
	theirs                       float64
	terms                        int
}

func (l *pedals) fit(g pedalling.Grade) (*pedalFit, error) {
	names := pedalling.Names()
	may := make([]bool, len(names))
	for i, n := range names {
		may[i] = g == pedalling.Scored || !strings.HasPrefix(n, "score: ")
	}
	var pieces []string
	for _, x := range l.pieces {
		pieces = append(pieces, x.name)
	}
	fold := deal(pieces)
	var ridges [2]*Ridge
	for k := range ridges {
		ridges[k] = NewRidge(len(names))
	}
	for _, x := range l.pieces {
		columns := make([][]float32, len(names))
		for t := range columns {
			columns[t] = make([]float32, len(x.part.Terms))
			for i, row := range x.part.Terms {
				columns[t][i] = float32(row[t])
			}
		}
		for k := range ridges {
			ridges[k].Add(x.sample(fold[x.name], k == 1, columns))
		}
	}
	out := &pedalFit{}
	for k, r := range ridges {
		if err := out.solve(k, r, pedalPenalty, may); err != nil {
			return nil, err
		}
	}
	if g == pedalling.Scored {
		r := NewRidge(2 * len(names))
		for _, x := range l.pieces {
			r.Add(x.ordered(fold[x.name]))
		}
		if err := out.solve(ofOrder, r, orderPenalty, nil); err != nil {
			return nil, err
		}
	}
	out.judge(l, fold, g)
	return out, nil
}

// solve has one of the results fitted, and fitted without works left out.
func (f *pedalFit) solve(k int, r *Ridge, penalty float64, may []bool) error {
	if may == nil {
		may = slices.Repeat([]bool{true}, r.terms)
	}
	o := Options{Penalty: penalty, Least: leastPedal}
	use, err := r.choose(-1, o, may)
	if err != nil {
		return err
	}
	if f.results[k], err = r.Fit(penalty, use); err != nil {
		return err
	}
	for fold := range Folds {
		if use, err = r.choose(fold, o, may); err != nil {
			return err
		}
		if f.without[k][fold], err = r.Solve([]int{fold}, penalty, use); err != nil {
			return err
		}
	}
	for _, w := range f.results[k].Weights {
		if w != 0 {
			f.terms++
		}
	}
	return nil
}

// ordered is what the players did at the places of the piece about their mean, standardised, so that a
// piece in which the foot is nearly always down or up says as much of when as any other. The terms of
// onsets come first, then the same of after them; all about their means.
func (x *pedalPiece) ordered(fold int) *Sample {
	n, terms := len(x.of), len(x.part.Terms[0])
	s := &Sample{Name: x.name, Fold: fold, Target: make([]float64, n), Weight: 1 / math.Pow(float64(n), 0.7)}
	s.Terms = make([][]float32, 2*terms)
	for t := range s.Terms {
		s.Terms[t] = make([]float32, n)
	}
	for g, m := range x.of {
		for _, t := range x.takes {
			if t[g] {
				s.Target[g] += 1 / float64(len(x.takes))
			}
		}
		first := terms
		if x.on[g] {
			first = 0
		}
		for t, v := range x.part.Terms[m] {
			s.Terms[first+t][g] = float32(v)
		}
	}
	centre(s.Terms)
	m, by := mean(s.Target), max(deviation(s.Target), leastSpread)
	for g := range s.Target {
		s.Target[g] = (s.Target[g] - m) / by
	}
	return s
}

// foresee is what weights make of the terms of moments.
func (x *pedalPiece) foresee(at, after []float64, base float64) pedalling.Feet {
	n := len(x.part.Terms)
	f := pedalling.Feet{At: make([]float64, n), After: make([]float64, n)}
	for i, row := range x.part.Terms {
		f.At[i], f.After[i] = base, base
		for t, v := range row {
			f.At[i] += at[t] * v
			f.After[i] += after[t] * v
		}
	}
	return f
}

// judge holds what is made of works left out against their players.
func (f *pedalFit) judge(l *pedals, fold map[string]int, g pedalling.Grade) {
	var all, several, among []float64
	for _, x := range l.pieces {
		k := fold[x.name]
		shares := x.foresee(f.without[0][k], f.without[1][k], 0.5)
		var advice []pedalling.Advice
		if g == pedalling.Scored {
			w := f.without[ofOrder][k]
			advice = x.part.Decide(shares, x.foresee(w[:len(w)/2], w[len(w)/2:], 0))
		} else {
			advice = x.part.Hear(shares)
		}
		ours := make([]bool, len(x.of))
		down := 0.0
		for i, m := range x.of {
			bit := pedalling.DownAfter
			if x.on[i] {
				bit = pedalling.DownAt
			}
			if ours[i] = advice[m]&bit != 0; ours[i] {
				down += 1 / float64(len(ours))
			}
		}
		f.share += down / float64(len(l.pieces))
		var each, pairs []float64
		for a, t := range x.takes {
			each = append(each, players.Kappa(ours, t))
			n := 0.0
			for _, d := range t {
				if d {
					n += 1 / float64(len(t))
				}
			}
			f.theirs += n / float64(len(x.takes)) / float64(len(l.pieces))
			for _, u := range x.takes[:a] {
				pairs = append(pairs, players.Kappa(t, u))
			}
		}
		us, them := mean(each), mean(pairs)
		all = append(all, us)
		if !math.IsNaN(us) && !math.IsNaN(them) {
			several, among = append(several, us), append(among, them)
		}
	}
	f.kappa, f.several, f.among = mean(all), mean(several), mean(among)
}

func (f *pedalFit) String() string {
	return fmt.Sprintf("kappa %.3f; where there are several players %.3f, and they among themselves %.3f; down %.2f of the time (players %.2f), %d terms",
		f.kappa, f.several, f.among, f.share, f.theirs, f.terms)
}

// fitPedals fits both grades, and writes the table.
func (l *pedals) fitPedals() (table []byte, said string, err error) {
	var fits [pedalling.Grades]*pedalFit
	for g := range fits {
		if fits[g], err = l.fit(pedalling.Grade(g)); err != nil {
			return nil, "", err
		}
	}
	takes := 0
	for _, x := range l.pieces {
		takes += len(x.takes)
	}
	sounded, scored := fits[pedalling.Sounded], fits[pedalling.Scored]
	var b bytes.Buffer
	fmt.Fprintf(&b, `package pedalling

// table is what each term adds to the share of players whose foot is down, over a half, with its
// standard error: just after the onset and after that, by what has sounded, and the same by a score. Last comes what it
// adds to the order of the moments of a piece, fitted to where in a piece the players' feet are down, about
// the mean of the piece.
//
// Written by "make fit". Fitted by ridge regression to %d performances of %d pieces: Vienna 4x22 (Goebl
// 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et al. 2020, Peter et al. 2023).
// Terms that weigh less than %g standard errors are left out. On works left out what is decided agrees
// with players by a kappa of %.3f by what has sounded and %.3f by a score; where there are several
// players, %.3f and %.3f, theirs among themselves being %.3f. The foot is down %.2f and %.2f of the time, theirs %.2f.
var table = [numTerms]weights{
`, takes, len(l.pieces), leastPedal, sounded.kappa, scored.kappa, sounded.several, scored.several, scored.among, sounded.share, scored.share, scored.theirs)
	for t, n := range pedalling.Names() {
		b.WriteString("\t{[Grades][2]fitted{")
		for g, f := range fits {
			if g > 0 {
				b.WriteString(", ")
			}
			b.WriteString("{")
			for k, r := range f.results[:ofOrder] {
				if k > 0 {
					b.WriteString(", ")
				}
				b.WriteString(cell(r.Weights[t], r.Errors[t]))
			}
			b.WriteString("}")
		}
		o := scored.results[ofOrder]
		after := t + len(o.Weights)/2
		fmt.Fprintf(&b, "}, [2]fitted{%s, %s}}, // %s\n", cell(o.Weights[t], o.Errors[t]), cell(o.Weights[after], o.Errors[after]), n)
	}
	b.WriteString("}\n")
	table, err = format.Source(b.Bytes())
	return table, fmt.Sprintf("by what has sounded %s\nby a score %s", sounded, scored), err
}
