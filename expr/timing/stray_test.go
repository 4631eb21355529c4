package timing

import (
	"math"
	"testing"
	"time"
)

// The notes of a chord differ as much as is asked for, and leave the chord where it is.
func TestChordsStray(t *testing.T) {
	const sd, chords = 10 * time.Millisecond, 4000
	for notes := 2; notes <= fingers; notes++ {
		e := NewEnsemble(3)
		e.Seat(0, 0, sd, 0)
		squares := 0.0
		for range chords {
			first, sum := e.Stray(0, sd, 0, notes), time.Duration(0)
			for place, shift := 1, first; ; place++ {
				if sum += shift; place == notes {
					break
				}
				shift = e.Stray(0, sd, place, notes)
				d := float64(shift - first)
				squares += d * d / float64(notes-1)
			}
			if sum.Abs() > time.Duration(notes) {
				t.Fatalf("%d notes stray by %v in all", notes, sum)
			}
		}
		if got := math.Sqrt(squares/chords/2) / float64(sd); math.Abs(got-1) > 0.05 {
			t.Errorf("%d notes: a standard deviation of %.3f times what was asked for", notes, got)
		}
	}
}

// However many notes a chord turns out to have, and however far they are to stray, there is a bound.
func TestStraysAreBounded(t *testing.T) {
	e := NewEnsemble(3)
	e.Seat(0, 0, 0, 0)
	farthest := time.Duration(0)
	for i := range 1000 {
		farthest = max(farthest, e.Stray(0, MaxShift, i%20, 4).Abs())
	}
	if farthest != MaxShift {
		t.Errorf("a note strays by %v, the bound is %v", farthest, MaxShift)
	}
}

// How chords stray changes nothing of how players stand to the beat.
func TestStraysAreTheirOwn(t *testing.T) {
	plain, strays := NewEnsemble(5), NewEnsemble(5)
	for _, e := range []*Ensemble{plain, strays} {
		e.Seat(0, 0, 10*time.Millisecond, 0)
	}
	for i := range 100 {
		at := time.Duration(i) * 200 * time.Millisecond
		strays.Stray(0, time.Millisecond, i%3, 3)
		if a, b := plain.Shift(0, at), strays.Shift(0, at); a != b {
			t.Fatalf("note %d is late by %v without, %v with chords that stray", i, a, b)
		}
	}
}
