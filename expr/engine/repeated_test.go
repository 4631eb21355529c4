package engine

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// repetitions are a piano's detached notes, many struck again as soon as their key is up, in
// two hands that do not go together.
func repetitions(rng *rand.Rand) (in []expr.Event) {
	for hand := range 2 {
		at, key := time.Duration(0), byte(60)
		for range 30 {
			if rng.IntN(2) == 0 {
				key = byte(50 + 14*hand + rng.IntN(12))
			}
			in = append(in, exprtest.On(at, key, 100))
			at += [...]time.Duration{60 * exprtest.Thousandth, 120 * exprtest.Thousandth, 250 * exprtest.Thousandth, 250 * exprtest.Thousandth}[rng.IntN(4)]
			in = append(in, exprtest.Off(at, key))
			at += [...]time.Duration{exprtest.Thousandth, exprtest.Thousandth, exprtest.Thousandth, 250 * exprtest.Thousandth}[rng.IntN(4)]
		}
	}
	slices.SortStableFunc(in, func(a, b expr.Event) int { return cmp.Compare(a.At, b.At) })
	return in
}

// A key that is struck again ends what sounds on it, and with that the foot may let go of
// other notes as well: every note still has one end.
func TestRepeatedKeysUnderAFoot(t *testing.T) {
	for seed := range uint64(40) {
		in := repetitions(rand.New(rand.NewPCG(seed, 0)))
		p := exprtest.Piano()
		exprtest.Musical(1, habits.All())(p)
		exprtest.Unsteady(1, expr.Together{SD: 20 * exprtest.Thousandth, Chord: 10 * exprtest.Thousandth, Hammer: true})(p)
		exprtest.Pedalling(1, expr.Pedal{Kind: expr.PianoPedal, Half: true})(p)
		cfg := Config{Ports: 1, Lookahead: 500 * exprtest.Thousandth, Rubato: 1, Seed: seed, Habits: append(habits.Usual(), habits.Together{}, habits.Rubato{})}
		e := usual(cfg)
		e.Load(written(in))
		if err := e.Seat(0, 0, p, 1); err != nil {
			t.Fatal(err)
		}
		sounding, notes := 0, 0
		for _, ev := range drive(e, in, 0, time.Minute) {
			switch {
			case ev.Side&expr.Shaped == 0:
			case ev.IsNoteOn():
				sounding++
				notes++
			case ev.IsNoteOff():
				sounding--
			}
		}
		if notes != 60 || sounding != 0 {
			t.Errorf("seed %d: of 60 notes %d are played, and %d have no end", seed, notes, sounding)
		}
	}
}
