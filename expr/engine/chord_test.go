package engine

import (
	"math"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// chords are chords of four notes, two a second.
func chords(n int) (in []expr.Event) {
	for i := range n {
		at := time.Duration(i) * 500 * exprtest.Thousandth
		for _, key := range []byte{48, 64, 67, 76} {
			in = append(in, exprtest.On(at, key+byte(i%3), 64))
		}
		for _, key := range []byte{48, 64, 67, 76} {
			in = append(in, exprtest.Off(at+450*exprtest.Thousandth, key+byte(i%3)))
		}
	}
	return in
}

// pianist plays chords, and gives by how much the highest note of each leads the mean of the others, ms,
// in the mean, its standard deviation, and how often the foot goes up.
func pianist(t *testing.T, scored bool, together expr.Together, top float64) (lead, sd float64, ups int) {
	t.Helper()
	p := exprtest.Piano()
	exprtest.Unsteady(1, together)(p)
	exprtest.Pedalling(1, expr.Pedal{Kind: expr.PianoPedal})(p)
	p.Amounts.Set(expr.TopLine.Key(), top)
	e := usual(Config{Ports: 1, Sides: expr.Shaped, Lookahead: 2 * MaxDeviation, Seed: 7})
	in := chords(200)
	if scored {
		e.Load(written(in))
	}
	if err := e.Seat(0, 0, p, 1); err != nil {
		t.Fatal(err)
	}
	var of [200][]float64
	for _, ev := range drive(e, in, 20*exprtest.Thousandth, 3*time.Second) {
		switch {
		case ev.IsNoteOn():
			k := int((ev.At - 2*MaxDeviation + 250*exprtest.Thousandth) / (500 * exprtest.Thousandth))
			at := float64(ev.At) / 1e6
			if key := ev.Msg[1]; key >= 76 {
				of[k] = append(of[k], -3*at)
			} else {
				of[k] = append(of[k], at)
			}
		case ev.Len == 3 && ev.Msg[0] == 0xB0 && ev.Msg[1] == expr.CCDamper && ev.Msg[2] == 0:
			ups++
		}
	}
	var leads []float64
	for k, notes := range of {
		if len(notes) != 4 {
			t.Fatalf("chord %d has %d notes", k, len(notes))
		}
		leads = append(leads, (notes[0]+notes[1]+notes[2]+notes[3])/3)
		lead += leads[k] / float64(len(of))
	}
	for _, x := range leads {
		sd += (x - lead) * (x - lead) / float64(len(leads))
	}
	return lead, math.Sqrt(sd), ups
}

// A chord's notes stray as they are measured to, and the foot takes them for one. What is struck
// harder leads, the more the harder, whether a score is known or only the notes that come.
func TestChordsSpreadAndTheTopLeads(t *testing.T) {
	const spread = 13 * exprtest.Thousandth
	for _, scored := range []bool{false, true} {
		before := math.Inf(-1)
		for _, top := range []float64{0, 1, 2} {
			lead, sd, ups := pianist(t, scored, expr.Together{Chord: spread, Hammer: true}, top)
			_, even, flat := pianist(t, scored, expr.Together{}, top)
			if even != 0 || math.Abs(sd-13*math.Sqrt(4./3)) > 2 {
				t.Errorf("score %v, top line %g: the lead varies by %.1f ms, and by %.1f where nothing strays", scored, top, sd, even)
			}
			if ups != flat || ups < 20 {
				t.Errorf("score %v, top line %g: the foot goes up %d times, and %d where nothing strays", scored, top, ups, flat)
			}
			if top == 0 && math.Abs(lead) > 2.5 || lead < before+2 {
				t.Errorf("score %v, top line %g: the highest note leads by %.1f ms, with less of it by %.1f", scored, top, lead, before)
			}
			before = lead
		}
	}
}

// What a note leads by is asked for with nothing allocated.
func TestStrayingChordsDoNotAllocate(t *testing.T) {
	p := exprtest.Piano()
	exprtest.Musical(1, habits.All())(p)
	exprtest.Unsteady(1, expr.Together{SD: 10 * exprtest.Thousandth, Chord: 13 * exprtest.Thousandth, Hammer: true})(p)
	e := usual(Config{Ports: 1, Sides: expr.Shaped, Lookahead: 2 * MaxDeviation, Habits: habits.Usual()})
	in := chords(40)
	e.Load(written(in))
	if err := e.Seat(0, 0, p, 1); err != nil {
		t.Fatal(err)
	}
	at := time.Duration(0)
	run := func() {
		for _, ev := range in {
			ev.At += at
			e.Push(ev)
			e.Pull(ev.At, func(*expr.Event) {})
		}
		at += 21 * time.Second
	}
	for range 10 {
		run()
	}
	if n := testing.AllocsPerRun(5, run); n > 0 {
		t.Errorf("%g allocations in %d events", n, len(in))
	}
}
