package learn

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"swellbox/expr"
	"swellbox/expr/habits"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/players"
)

// By how much one player differs from another where no habit of theirs does, and how many
// neighbouring notes say the same: what is far from a habit's reach moves its amount little. Found
// on the corpora that the yardstick names, rounded.
const (
	levelSpread  = 9.0  // velocities
	lengthSpread = 0.4  // of the log
	tempoSpread  = 0.15 // of the log
	pedalSpread  = 0.45
	alike        = 6.0
	amountSpread = 0.5 // of players' amounts about 1. Ours
)

// unlearnt are the habits that put instruments at their level among others: one player's take of
// one instrument says nothing of them.
var unlearnt = []string{"marks", "orchestra-weight"}

// fitter fits amounts by what each habit moves.
type fitter struct {
	cast    *perform.Cast
	file    *smf.File // of the piece
	piece   *players.Piece
	profile *expr.Profile // whose amounts are fitted
	manner  perform.Manner
}

// was is the amount of a habit that the profile has.
func (f *fitter) was(about *expr.About) float64 {
	if about.All {
		return f.manner.Rubato
	}
	return f.profile.Amounts.Of(about.Key)
}

// series is what of a performance the fit sees: levels, lengths, the tempo and the pedal, one
// after another, each in units of its spread. What is not there is NaN.
func series(f *players.Features) (s []float64) {
	add := func(values []float64, spread float64) {
		sum, n := 0.0, 0.0
		for _, v := range values {
			if !math.IsNaN(v) {
				sum, n = sum+v, n+1
			}
		}
		for _, v := range values {
			s = append(s, (v-sum/n)/spread)
		}
	}
	add(f.Level, levelSpread)
	add(f.Length, lengthSpread)
	add(f.Tempo, tempoSpread)
	pedal := make([]float64, len(f.Pedal))
	for i, down := range f.Pedal {
		if down {
			pedal[i] = 1
		}
	}
	for _, v := range pedal {
		s = append(s, v/pedalSpread)
	}
	return s
}

func (f *fitter) perform(ctx context.Context, without string) (*players.Features, error) {
	m := f.manner
	if without != "" {
		m.Without = []string{without}
	}
	take, err := f.piece.Perform(ctx, f.file, f.cast, m)
	if err != nil {
		return nil, err
	}
	return f.piece.Features(&take), nil
}

// fit fills in the amounts.
func (f *fitter) fit(ctx context.Context, l *Learnt) error {
	all, err := f.perform(ctx, "")
	if err != nil {
		return err
	}
	full := series(all)
	l.Before = all.Sizes
	for i := range f.piece.Takes {
		l.Theirs = l.Theirs.Plus(f.piece.Features(&f.piece.Takes[i]).Sizes, 1/float64(len(f.piece.Takes)))
	}
	var moved [][]float64 // by habit: what it moves
	for _, about := range habits.All() {
		if slices.Contains(unlearnt, about.Flag()) {
			continue
		}
		without, err := f.perform(ctx, about.Flag())
		if err != nil {
			return err
		}
		delta, some := series(without), false
		for i := range delta {
			delta[i] = full[i] - delta[i]
			some = some || math.Abs(delta[i]) > 1e-6
		}
		if was := f.was(about); some && was > 0 {
			l.Amounts = append(l.Amounts, Amount{Habit: about, Was: was})
			moved = append(moved, delta)
		}
	}
	if len(moved) == 0 {
		return nil
	}
	f.solve(full, moved, l.Amounts)
	return nil
}

// solve finds the amounts that bring the performance nearest to the takes, and are not far
// from what they were: least squares with a prior (ridge regression, Hoerl and Kennard 1970).
func (f *fitter) solve(full []float64, moved [][]float64, amounts []Amount) {
	n := len(amounts)
	a, b := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for i := range amounts {
		a.SetSym(i, i, 1/(amountSpread*amountSpread))
	}
	for k := range f.piece.Takes {
		theirs := series(f.piece.Features(&f.piece.Takes[k]))
		for t := range min(len(full), len(theirs)) {
			off := theirs[t] - full[t]
			if math.IsNaN(off) {
				continue
			}
			for i := range n {
				x := moved[i][t] / amounts[i].Was // of one amount
				b.SetVec(i, b.AtVec(i)+x*off/alike)
				for j := i; j < n; j++ {
					a.SetSym(i, j, a.At(i, j)+x*moved[j][t]/amounts[j].Was/alike)
				}
			}
		}
	}
	var c mat.Cholesky
	var delta mat.VecDense
	var inverse mat.SymDense
	if !c.Factorize(a) || c.SolveVecTo(&delta, b) != nil || c.InverseTo(&inverse) != nil {
		for i := range amounts { // cannot be with a prior, but for numbers that are none
			amounts[i].Amount, amounts[i].Error = amounts[i].Was, amountSpread
		}
		return
	}
	for i := range amounts {
		amounts[i].Amount = min(max(amounts[i].Was+delta.AtVec(i), 0), expr.MostAmount)
		amounts[i].Error = math.Sqrt(inverse.At(i, i))
	}
}
