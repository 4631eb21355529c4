package expr

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// repetitions are a piano's detached notes, many struck again as soon as their key is up, in
// two hands that do not go together.
func repetitions(rng *rand.Rand) (in []Event) {
	for hand := range 2 {
		at, key := time.Duration(0), byte(60)
		for range 30 {
			if rng.IntN(2) == 0 {
				key = byte(50 + 14*hand + rng.IntN(12))
			}
			in = append(in, on(at, key, 100))
			at += [...]time.Duration{60 * ms, 120 * ms, 250 * ms, 250 * ms}[rng.IntN(4)]
			in = append(in, off(at, key))
			at += [...]time.Duration{ms, ms, ms, 250 * ms}[rng.IntN(4)]
		}
	}
	slices.SortStableFunc(in, func(a, b Event) int { return cmp.Compare(a.At, b.At) })
	return in
}

// A key that is struck again ends what sounds on it, and with that the foot may let go of
// other notes as well: every note still has one end.
func TestRepeatedKeysUnderAFoot(t *testing.T) {
	for seed := range uint64(40) {
		in := repetitions(rand.New(rand.NewPCG(seed, 0)))
		p := piano()
		p.Habits = habits(1)
		p.Habits.Timing = Timing{K: 1, SD: 20 * ms, Hammer: true}
		p.Habits.Pedal = Pedal{K: 1, Kind: PianoPedal, Half: true}
		cfg := Config{Ports: 1, Lookahead: 500 * ms, Rubato: 1, Seed: seed, Rules: append(StandardRules(), Microtiming{}, Rubato{})}
		e := NewEngine(cfg)
		e.Load(written(in))
		if err := e.Seat(0, 0, p, 1); err != nil {
			t.Fatal(err)
		}
		sounding, notes := 0, 0
		for _, ev := range drive(e, in, 0, time.Minute) {
			switch {
			case ev.Side&Shaped == 0:
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
