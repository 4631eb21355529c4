package fit

import (
	"bytes"
	"fmt"
	"go/format"
	"math"
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
	leastPedal   = 0.6 // standard errors
)

// pedalFit is the fit of a grade: at the onset, and after.
type pedalFit struct {
	results                      [2]*Fitted
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
	var without [2][Folds][]float64
	for k, r := range ridges {
		o := Options{Penalty: pedalPenalty, Least: leastPedal}
		use, err := r.choose(-1, o, may)
		if err != nil {
			return nil, err
		}
		if out.results[k], err = r.Fit(o.Penalty, use); err != nil {
			return nil, err
		}
		for f := range Folds {
			if use, err = r.choose(f, o, may); err != nil {
				return nil, err
			}
			if without[k][f], err = r.Solve([]int{f}, o.Penalty, use); err != nil {
				return nil, err
			}
		}
		for _, w := range out.results[k].Weights {
			if w != 0 {
				out.terms++
			}
		}
	}
	out.judge(l, fold, without, g)
	return out, nil
}

// judge holds what is made of works left out against their players.
func (f *pedalFit) judge(l *pedals, fold map[string]int, without [2][Folds][]float64, g pedalling.Grade) {
	var all, several, among []float64
	for _, x := range l.pieces {
		var shares [2][]float64
		for k := range shares {
			shares[k] = make([]float64, len(x.part.Terms))
			w := without[k][fold[x.name]]
			for i, row := range x.part.Terms {
				sum := 0.5
				for t, v := range row {
					sum += w[t] * v
				}
				shares[k][i] = sum
			}
		}
		advice := x.part.Decide(shares[0], shares[1], g)
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
// standard error: just after the onset and after that, by what has sounded, and the same by a score.
//
// Written by "make fit". Fitted by ridge regression to %d performances of %d pieces: Vienna 4x22 (Goebl
// 1999), Batik-plays-Mozart (Hu and Widmer 2023), (n)ASAP (Foscarin et al. 2020, Peter et al. 2023).
// Terms that weigh less than %g standard errors are left out. On works left out what is decided agrees
// with players by a kappa of %.3f by what has sounded and %.3f by a score; where there are several
// players, %.3f and %.3f, theirs among themselves being %.3f. The foot is down %.2f and %.2f of the time, theirs %.2f.
var table = [numTerms]weights{
`, takes, len(l.pieces), leastPedal, sounded.kappa, scored.kappa, sounded.several, scored.several, scored.among, sounded.share, scored.share, scored.theirs)
	for t, n := range pedalling.Names() {
		b.WriteString("\t{")
		for g, f := range fits {
			if g > 0 {
				b.WriteString(", ")
			}
			b.WriteString("{")
			for k, r := range f.results {
				if k > 0 {
					b.WriteString(", ")
				}
				b.WriteString(cell(r.Weights[t], r.Errors[t]))
			}
			b.WriteString("}")
		}
		fmt.Fprintf(&b, "}, // %s\n", n)
	}
	b.WriteString("}\n")
	table, err = format.Source(b.Bytes())
	return table, fmt.Sprintf("by what has sounded %s\nby a score %s", sounded, scored), err
}
