package timing

import (
	"math"
	"testing"
	"time"
)

// Friberg and Sundberg 1999 (formula SEEN-2; values computed from it by hand).
func TestFinalRitard(t *testing.T) {
	for _, c := range []struct{ x, w, q, want float64 }{
		{0.25, 0.5, 2, 0.901}, {0.5, 0.5, 2, 0.791}, {0.75, 0.5, 2, 0.661},
		{0.25, 0.5, 3, 0.921}, {0.5, 0.5, 3, 0.825}, {0.75, 0.5, 3, 0.701},
		{0, 0.5, 2, 1}, {1, 0.5, 2, 0.5}, {1, 0.3, 3, 0.3}, {0.5, 1, 2, 1}, {0.5, 0.5, 1, 0.75},
		{-1, 0.5, 2, 1}, {2, 0.5, 2, 0.5}, {math.NaN(), 0.5, 2, 1},
		{1, 0.01, 2, 0.1}, {1, 7, 2, 1}, {0.5, 0.5, 0.3, 0.75},
		{0.5, 0, 0, 0.791}, {0.5, math.NaN(), math.NaN(), 0.791},
	} {
		if got := FinalRitard(c.x, c.w, c.q); math.Abs(got-c.want) > 0.0005 {
			t.Errorf("v(%v) with w %v, q %v: %.4f, want %.3f", c.x, c.w, c.q, got, c.want)
		}
	}
}

// Friberg and Sundberg 1999 (values computed from the formula by hand).
func TestRitardTime(t *testing.T) {
	for _, c := range []struct{ w, q, want float64 }{
		{0.3, 2, 1.538}, {0.5, 2, 1.333}, {0.7, 2, 1.176},
		{0.3, 3, 1.403}, {0.5, 3, 1.286}, {0.7, 3, 1.164},
		{1, 2, 1}, {0.5, 1, 2 * math.Ln2},
	} {
		if got := RitardTime(1, c.w, c.q); math.Abs(got-c.want) > 0.0005 {
			t.Errorf("T with w %v, q %v: %.4f, want %.3f", c.w, c.q, got, c.want)
		}
	}
	// The integral agrees with the sum of its parts, all the way.
	for _, q := range []float64{1, 1.5, 2, 3, 5} {
		sum, steps := 0.0, 10_000
		for i := range steps {
			sum += 1 / FinalRitard((float64(i)+0.5)/float64(steps), 0.4, q) / float64(steps)
			x := float64(i+1) / float64(steps)
			if got := RitardTime(x, 0.4, q); math.Abs(got-sum) > 1e-6 {
				t.Fatalf("q %v: time to %v is %v, the sum of its parts %v", q, x, got, sum)
			}
		}
	}
	// Next to no ritard loses no digits.
	if got := RitardTime(0.5, 1-1e-12, 2) - 0.5; math.Abs(got-0.125e-12) > 1e-15 {
		t.Errorf("a ritard by 1e-12 makes the middle later by %v, want 1.25e-13", got)
	}
}

func TestRitardInWarp(t *testing.T) {
	const from, to = 60 * time.Second, 64 * time.Second
	full := Ritard{From: from, To: to, Most: time.Minute}
	for _, c := range []struct {
		name  string
		r     Ritard
		k     float64
		delay time.Duration
	}{
		{"as published: 4 s take 1.333 of it", full, 1, 4 * time.Second / 3},
		{"off", full, 0, 0},
		{"not a number", full, math.NaN(), 0},
		{"held to its most", Ritard{From: from, To: to, Most: 300 * time.Millisecond}, 1, 300 * time.Millisecond},
		{"no delay allowed", Ritard{From: from, To: to}, 1, 0},
		{"no stretch", Ritard{From: to, To: to, Most: time.Minute}, 1, 0},
		{"backward", Ritard{From: to, To: from, Most: time.Minute}, 1, 0},
		// w = 0.25: T = 2·(0.25-1)/(0.25²-1) = 1.6
		{"twice", full, 2, 2400 * time.Millisecond},
	} {
		w := new(Warp).WithRitard(c.r, c.k)
		if got := w.At(to); (got-c.delay).Abs() > time.Microsecond || c.r.Most > 0 && got > c.r.Most {
			t.Errorf("%s: the end is later by %v, want %v", c.name, got, c.delay)
		}
		if w.At(from) != 0 || w.At(0) != 0 {
			t.Errorf("%s: it begins before it begins", c.name)
		}
		if early, late := w.Reach(); early != 0 || late != w.At(to) || w.At(to+time.Hour) != late {
			t.Errorf("%s: reach %v and %v, later by %v at the end and %v after", c.name, early, late, w.At(to), w.At(to+time.Hour))
		}
		if (c.delay == 0) != (w.Tempo(to-1) == 1) || w.Tempo(from-1) != 1 || w.Tempo(to) != 1 {
			t.Errorf("%s: tempo %v before, %v at the end, %v after", c.name, w.Tempo(from-1), w.Tempo(to-1), w.Tempo(to))
		}
	}
	w := new(Warp).WithRitard(full, 1)
	if got := w.Tempo(to - 1); math.Abs(got-0.5) > 1e-6 {
		t.Errorf("end tempo %v, want 0.5", got)
	}
}
