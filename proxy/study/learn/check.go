package learn

import (
	"context"
	"math"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/players"
)

// Checked is how near a performance of the second half of a piece comes to a player, before and
// after learning from the same player's first half.
type Checked struct {
	Piece, Player string
	Before, After players.Agreement
	// Off is how far the performance is from the player in levels, velocities about the mean (root
	// mean square).
	OffBefore, OffAfter float64
}

// leastHalf is the fewest notes of a half that is learnt from or judged.
const leastHalf = 60

// Check learns from the first half of each take of a piece and judges on the second, which is
// another player's word for nothing: no note is in both. written may be nil.
func Check(ctx context.Context, library *profiles.Library, p *players.Piece, written *expr.Score, most int) ([]Checked, error) {
	var all []Checked
	for i := range p.Takes[:min(len(p.Takes), most)] {
		first, second := p.Half(false, i), p.Half(true, i)
		if len(first.Notes) < leastHalf || len(second.Notes) < leastHalf {
			return all, nil
		}
		cast := &perform.Cast{Library: library}
		l, err := Piece(ctx, cast, keyboard, first, written)
		if err != nil {
			return all, err
		}
		d, err := profiles.Parse("learnt", l.Document(keyboard, p.Takes[i].Player))
		if err != nil {
			return all, err
		}
		own, err := profiles.NewLibrary()
		if err != nil {
			return all, err
		}
		if err := own.Add(d); err != nil {
			return all, err
		}
		manner := players.Known(written)
		c := Checked{Piece: p.Name, Player: p.Takes[i].Player}
		theirs := second.Features(&second.Takes[0])
		judge := func(cast *perform.Cast, rubato float64) (players.Agreement, float64, error) {
			manner.Rubato = rubato
			take, err := p.Render(ctx, cast, manner)
			if err != nil {
				return players.Agreement{}, 0, err
			}
			ours := second.Features(&take)
			return players.Agree(ours, theirs), off(ours.Level, theirs.Level), nil
		}
		if c.Before, c.OffBefore, err = judge(cast, 1); err != nil {
			return all, err
		}
		if c.After, c.OffAfter, err = judge(&perform.Cast{Library: own}, l.rubato()); err != nil {
			return all, err
		}
		all = append(all, c)
	}
	return all, nil
}

// keyboard is the profile that a flat piece is played with.
const keyboard = "piano"

// rubato is the amount that was learnt of what all players do together.
func (l *Learnt) rubato() float64 {
	for i := range l.Amounts {
		if l.Amounts[i].Habit.All {
			return l.Amounts[i].Amount
		}
	}
	return 1
}

// off is the root mean square of the difference of two lists, each about its mean.
func off(a, b []float64) float64 {
	var d []float64
	sum := 0.0
	for i := range a {
		if v := a[i] - b[i]; !math.IsNaN(v) {
			d = append(d, v)
			sum += v
		}
	}
	mean, square := sum/float64(len(d)), 0.0
	for _, v := range d {
		square += (v - mean) * (v - mean)
	}
	return math.Sqrt(square / float64(len(d)))
}
