package fit

import (
	"bytes"
	"fmt"
	"go/format"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"swellbox/proxy/study/players"
)

// Study is one quantity of all pieces, and how each player took it.
type Study struct {
	Names   []string // of the terms, as "group: term"
	Samples []*Sample
	Takes   [][][]float64 // by sample, by player, by place; NaN where not played
	Centres []float64     // by sample: the mean target
	Usual   [][]float64   // by sample, by place: what the yardstick adds to every performance alike; nil: nothing
}

// Options are how a quantity is fitted.
type Options struct {
	Penalty float64
	Least   float64           // a term stays that weighs so many standard errors
	Use     func(string) bool // by its name, whether a term may be used; nil: all
}

// Result is a fit of a study.
type Result struct {
	*Fitted
	Agreement float64 // mean correlation with the players of works left out
	Among     float64 // of players among themselves, where there are several
	SD        float64 // of what is predicted of works left out, mean over pieces
	TheirSD   float64
	Terms     int // that stay
}

// Deal deals the samples into folds, and adds them up.
func (s *Study) gather() *Ridge {
	var names []string
	for _, x := range s.Samples {
		names = append(names, x.Name)
	}
	fold := deal(names)
	r := NewRidge(len(s.Names))
	for _, x := range s.Samples {
		x.Fold = fold[x.Name]
		r.Add(x)
	}
	return r
}

// String is the result in a line.
func (r *Result) String() string {
	return fmt.Sprintf("r %.3f (players among themselves %.3f), SD %.3f (players %.3f), %d terms", r.Agreement, r.Among, r.SD, r.TheirSD, r.Terms)
}

// Fit fits a study. What is said of works left out is of a fit that had them neither in its
// weights nor in the choice of its terms.
func (s *Study) Fit(o Options) (*Result, error) {
	r := s.gather()
	may := make([]bool, len(s.Names))
	for i, n := range s.Names {
		may[i] = o.Use == nil || o.Use(n)
	}
	chosen, err := r.choose(-1, o, may)
	if err != nil {
		return nil, err
	}
	f, err := r.Fit(o.Penalty, chosen)
	if err != nil {
		return nil, err
	}
	res := &Result{Fitted: f}
	for _, w := range f.Weights {
		if w != 0 {
			res.Terms++
		}
	}
	var without [Folds][]float64
	for k := range without {
		use, err := r.choose(k, o, may)
		if err != nil {
			return nil, err
		}
		if without[k], err = r.Solve([]int{k}, o.Penalty, use); err != nil {
			return nil, err
		}
	}
	var ours, theirs, sd, theirSD []float64
	for i, x := range s.Samples {
		p := x.Predict(without[x.Fold])
		sd = append(sd, deviation(p))
		if s.Usual != nil {
			for j := range p {
				p[j] += s.Usual[i][j]
			}
		}
		var each, pairs []float64
		for a, t := range s.Takes[i] {
			each = append(each, players.Correlation(p, t))
			theirSD = append(theirSD, deviation(t)/float64(len(s.Takes[i])))
			for _, u := range s.Takes[i][:a] {
				pairs = append(pairs, players.Correlation(t, u))
			}
		}
		ours, theirs = append(ours, mean(each)), append(theirs, mean(pairs))
	}
	res.Agreement, res.Among, res.SD = mean(ours), mean(theirs), mean(sd)
	for _, x := range theirSD {
		res.TheirSD += x / float64(len(s.Samples))
	}
	return res, nil
}

// choose is which terms stay: those that weigh at least so many standard errors by a jackknife, without
// a fold.
func (r *Ridge) choose(without int, o Options, may []bool) ([]bool, error) {
	all := []int{}
	if without >= 0 {
		all = append(all, without)
	}
	w, err := r.Solve(all, o.Penalty, may)
	if err != nil {
		return nil, err
	}
	sum, square, n := make([]float64, r.terms), make([]float64, r.terms), 0.0
	for k := range Folds {
		if k == without {
			continue
		}
		v, err := r.Solve(append(all[:len(all):len(all)], k), o.Penalty, may)
		if err != nil {
			return nil, err
		}
		n++
		for t, x := range v {
			sum[t] += x
			square[t] += x * x
		}
	}
	use := make([]bool, r.terms)
	for t := range use {
		se := math.Sqrt(max(square[t]-sum[t]*sum[t]/n, 0) * (n - 1) / n)
		use[t] = w[t] != 0 && math.Abs(w[t]) >= o.Least*se
	}
	return use, nil
}

// source is a table of sizes as Go source, in the usual form: its first word is the table's name.
func source(pkg, about string, names []string, results ...*Result) ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "package %s\n\n", pkg)
	for line := range strings.Lines(strings.TrimSpace(about)) {
		b.WriteString(strings.TrimRight("// "+strings.TrimSpace(line), " ") + "\n")
	}
	name, _, _ := strings.Cut(about, " ")
	fmt.Fprintf(&b, "var %s = [...]%s{\n", name, map[bool]string{true: "size", false: "weight"}[len(results) > 1])
	for i, n := range names {
		b.WriteString("\t{")
		for j, r := range results {
			if j > 0 {
				b.WriteString(", ")
			}
			if r.Weights[i] == 0 {
				b.WriteString("0, 0")
			} else {
				fmt.Fprintf(&b, "%+.5f, %.5f", r.Weights[i], r.Errors[i])
			}
		}
		fmt.Fprintf(&b, "}, // %s\n", n)
	}
	b.WriteString("}\n")
	return format.Source(b.Bytes())
}

// cell is a weight with its standard error as Go source; what weighs nothing is left empty.
func cell(weight, err float64) string {
	if weight == 0 {
		return "{}"
	}
	return fmt.Sprintf("{%+.4f, %.4f}", weight, err)
}

// numbers are the values that are known.
func numbers(v []float64) []float64 { return slices.DeleteFunc(slices.Clone(v), math.IsNaN) }

// mean is the mean of what is known.
func mean(v []float64) float64 { return stat.Mean(numbers(v), nil) }

// deviation is the standard deviation of what is known.
func deviation(v []float64) float64 { return stat.PopStdDev(numbers(v), nil) }

// leastPlaces is the fewest places of which a correlation says anything, as in the yardstick.
const leastPlaces = 8
