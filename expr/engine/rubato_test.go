package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// paced is a score of eighth notes in phrases of four bars, at so many quarter notes a minute
// in each quarter, with half a bar of rest between them; the last note lasts so many seconds.
func paced(tempos []float64, last float64) *expr.Score {
	s := &expr.Score{Parts: []string{"flute"}}
	at := time.Duration(0)
	for q, tempo := range tempos {
		eighth := time.Duration(30 / tempo * float64(time.Second))
		for i := range 2 {
			if q%16 < 14 || q == len(tempos)-1 {
				s.Notes = append(s.Notes, expr.Written{
					On: at, Off: at + eighth, Beat: float64(q) + float64(i)/2, Length: 0.5,
					Key: uint8(60 + (q%16*5+i*2)%12), Velocity: 80,
				})
			}
			at += eighth
		}
	}
	end := &s.Notes[len(s.Notes)-1]
	end.Off, end.Length = end.On+time.Duration(last*float64(time.Second)), 2
	s.End = end.Off
	return s
}

func steadily(n int, tempo float64) []float64 {
	t := make([]float64, n)
	for i := range t {
		t[i] = tempo
	}
	return t
}

// Who has written a ritard is not given another one, however it is written: over the last bars, by
// little, or on the last note alone.
func TestNoSecondRitard(t *testing.T) {
	const most = 3 * time.Second
	slowing := steadily(32, 120)
	for i := range 4 {
		slowing[28+i] = 120 - 12*float64(i+1)
	}
	little := steadily(32, 120)
	little[30], little[31] = 116, 108
	for _, c := range []struct {
		what   string
		score  *expr.Score
		ritard bool
	}{
		{"in time", paced(steadily(32, 120), 1), true},
		{"slowing down over a bar", paced(slowing, 1), false},
		{"slowing down over two beats", paced(little, 1), false},
		{"the last note held", paced(steadily(32, 120), 2), false},
		{"faster at the end", paced(append(steadily(28, 90), steadily(4, 120)...), 1), true},
	} {
		_, late := habits.Rubato{}.Warp(hearing.CourseOf(c.score), 1, MaxDeviation, most).Reach()
		end := c.score.Notes[len(c.score.Notes)-1].On
		shift := habits.Rubato{}.Warp(hearing.CourseOf(c.score), 1, MaxDeviation, most).At(end)
		if ritard := shift > 100*exprtest.Thousandth; ritard != c.ritard {
			t.Errorf("%s: the last note comes %v later (at most %v)", c.what, shift, late)
		}
	}
}

// Nor does a phrase slow down to its end where the written tempo does so.
func TestNoBreathInAWrittenRitard(t *testing.T) {
	written := steadily(64, 120)
	for i := range 4 {
		written[26+i] = 120 - 12*float64(i+1)
	}
	s := paced(written, 1)
	c := hearing.CourseOf(s)
	var deep, flat []timing.Phrase
	for _, p := range c.Phrases {
		if p.Depth > 0 {
			deep = append(deep, p)
		} else {
			flat = append(flat, p)
		}
	}
	end := s.Notes[2*28].On // where the tempo is taken up again
	if len(flat) != 1 || flat[0].End != end || len(deep) == 0 {
		t.Errorf("phrases that breathe: %v; that do not: %v; the written ritard ends at %v", deep, flat, end)
	}
}

// However unsteady a player and however its hammers are voiced, no note leaves the beat by more than
// a bound.
func TestOwnShiftIsBounded(t *testing.T) {
	p := exprtest.Piano()
	exprtest.Unsteady(2, expr.Together{SD: 60 * exprtest.Thousandth, Hammer: true})(p)
	p.Amounts.Set("voicing", 2)
	e := usual(Config{Sides: expr.Shaped, Lookahead: 2 * MaxDeviation, Seed: 7})
	if err := e.Seat(0, 0, p, 1); err != nil {
		t.Fatal(err)
	}
	var in []expr.Event
	for i := range 200 {
		at := time.Duration(i) * 400 * exprtest.Thousandth
		for _, key := range []byte{40, 55, 60, 72} {
			in = append(in, exprtest.On(at, key, 30))
		}
		for _, key := range []byte{40, 55, 60, 72} {
			in = append(in, exprtest.Off(at+300*exprtest.Thousandth, key))
		}
	}
	farthest := time.Duration(0)
	for _, ev := range drive(e, in, 20*exprtest.Thousandth, 3*time.Second) {
		if !ev.IsNoteOn() {
			continue
		}
		due := (ev.At - 2*MaxDeviation + 200*exprtest.Thousandth) / (400 * exprtest.Thousandth) * (400 * exprtest.Thousandth)
		farthest = max(farthest, (ev.At - 2*MaxDeviation - due).Abs())
	}
	if farthest > MaxOwnShift || farthest < MaxOwnShift/2 {
		t.Errorf("a note is %v from its beat, want at most %v and something to hold back", farthest, MaxOwnShift)
	}
}
