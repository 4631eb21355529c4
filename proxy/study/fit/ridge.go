package fit

import (
	"errors"
	"math"
	"slices"
)

// Folds is how many parts the works are dealt into, of which one at a time is left out.
const Folds = 10

// Sample is one piece: its terms, and what players did.
type Sample struct {
	Name    string
	Fold    int
	Terms   [][]float32 // by term, then by place; about their means
	Target  []float64   // by place, about its mean; NaN where there is none
	Weight  float64     // of a place
	Weights []float64   // of each, in its place; nil: all weigh the same
}

// Ridge fits weights to samples by least squares, with a penalty on the squares of the
// weights of standardised terms.
type Ridge struct {
	terms  int
	gram   [Folds][]float64 // terms × terms
	moment [Folds][]float64
	weight [Folds]float64 // of all places
}

// rounding is the least mean square of a term that says anything: what varies by less is what is left
// of sums of equal numbers, and would be given a weight without measure.
const rounding = 1e-12

// NewRidge is a fit of so many terms.
func NewRidge(terms int) *Ridge {
	r := &Ridge{terms: terms}
	for k := range r.gram {
		r.gram[k], r.moment[k] = make([]float64, terms*terms), make([]float64, terms)
	}
	return r
}

// Add takes a sample.
func (r *Ridge) Add(s *Sample) {
	g, m := r.gram[s.Fold], r.moment[s.Fold]
	n, row := r.terms, make([]float64, r.terms)
	for i, y := range s.Target {
		if math.IsNaN(y) {
			continue
		}
		r.weight[s.Fold] += s.Weight
		for t := range row {
			row[t] = float64(s.Terms[t][i])
		}
		weight := s.Weight
		if s.Weights != nil {
			weight = s.Weights[i]
		}
		for a, x := range row {
			if x == 0 {
				continue
			}
			w := weight * x
			m[a] += w * y
			line := g[a*n : a*n+a+1]
			for b := range line {
				line[b] += w * row[b]
			}
		}
	}
}

// Solve is the weights without some folds. Terms of which use is false weigh nothing; a nil
// use takes all.
func (r *Ridge) Solve(leftOut []int, penalty float64, use []bool) ([]float64, error) {
	n := r.terms
	gram, moment, all := make([]float64, n*n), make([]float64, n), 0.0
	for k := range r.gram {
		if slices.Contains(leftOut, k) {
			continue
		}
		all += r.weight[k]
		for i, x := range r.gram[k] {
			gram[i] += x
		}
		for i, x := range r.moment[k] {
			moment[i] += x
		}
	}
	var chosen []int
	scale := make([]float64, n)
	for t := range n {
		if scale[t] = math.Sqrt(gram[t*n+t]); gram[t*n+t] > rounding*all && (use == nil || use[t]) {
			chosen = append(chosen, t)
		}
	}
	p := len(chosen)
	if p == 0 {
		return nil, errors.New("no term varies in any piece: the corpus is too small to fit to")
	}
	a, c := make([]float64, p*p), make([]float64, p)
	for i, s := range chosen {
		for j, t := range chosen[:i+1] {
			a[i*p+j] = gram[s*n+t] / (scale[s] * scale[t])
		}
		a[i*p+i] += penalty
		c[i] = moment[s] / scale[s]
	}
	if err := cholesky(a, c, p); err != nil {
		return nil, err
	}
	w := make([]float64, n)
	for i, t := range chosen {
		w[t] = c[i] / scale[t]
	}
	return w, nil
}

// cholesky solves a·x = c for a symmetric positive a of which the lower half is given, in place.
func cholesky(a, c []float64, n int) error {
	for i := range n {
		for j := range i + 1 {
			s := a[i*n+j]
			for k := range j {
				s -= a[i*n+k] * a[j*n+k]
			}
			if i > j {
				a[i*n+j] = s / a[j*n+j]
			} else if s > 0 {
				a[i*n+i] = math.Sqrt(s)
			} else {
				return errors.New("the terms depend on each other: raise the penalty")
			}
		}
	}
	for i := range n {
		for k := range i {
			c[i] -= a[i*n+k] * c[k]
		}
		c[i] /= a[i*n+i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			c[i] -= a[k*n+i] * c[k]
		}
		c[i] /= a[i*n+i]
	}
	return nil
}

// Fitted is what a fit gave.
type Fitted struct {
	Weights []float64 // of all samples
	Errors  []float64 // standard errors, by a jackknife over the folds
	Without [Folds][]float64
}

// Fit fits all samples, and without each fold.
func (r *Ridge) Fit(penalty float64, use []bool) (*Fitted, error) {
	f := &Fitted{Errors: make([]float64, r.terms)}
	var err error
	if f.Weights, err = r.Solve(nil, penalty, use); err != nil {
		return nil, err
	}
	for k := range f.Without {
		if f.Without[k], err = r.Solve([]int{k}, penalty, use); err != nil {
			return nil, err
		}
	}
	for t := range f.Errors {
		mean, sum := 0.0, 0.0
		for k := range f.Without {
			mean += f.Without[k][t] / Folds
		}
		for k := range f.Without {
			d := f.Without[k][t] - mean
			sum += d * d
		}
		f.Errors[t] = math.Sqrt(sum * (Folds - 1) / Folds)
	}
	return f, nil
}

// Predict is what weights make of a sample.
func (s *Sample) Predict(weights []float64) []float64 {
	out := make([]float64, len(s.Target))
	for t, w := range weights {
		if w == 0 {
			continue
		}
		for i, x := range s.Terms[t] {
			out[i] += w * float64(x)
		}
	}
	return out
}
