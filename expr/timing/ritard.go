package timing

import (
	"math"
	"time"
)

// Curves of a [Ritard] that listeners rated best, and the end tempo of it that published
// programs use.
//
// Source: Friberg and Sundberg 1999 (abstract; the end tempo SEEN-2).
const (
	DefaultCurve    = 2   // 3 did as well: a runner's, of constant braking power
	DefaultEndTempo = 0.5 // of the tempo before
)

const leastEndTempo = 0.1 // slower would be no tempo at all: ours

// FinalRitard is the tempo within a final ritard, re the tempo before it, at a place x in
// the score from 0 (where it begins) to 1 (the end): [1+(w^q-1)·x]^(1/q), with the tempo w at
// the end. w is held within 0.1 and 1, q at 1 or more; 0 is the default of either.
//
// Source: Friberg and Sundberg 1999 (SEEN-2).
func FinalRitard(x, w, q float64) float64 {
	w, q = ritardCurve(w, q)
	return math.Pow(1+(math.Pow(w, q)-1)*held(x), 1/q)
}

// RitardTime is the time from the beginning of a final ritard to a place x in it, re the
// time that the whole stretch takes without one: the integral of 1/[FinalRitard].
func RitardTime(x, w, q float64) float64 {
	w, q = ritardCurve(w, q)
	x = held(x)
	c, p := math.Pow(w, q)-1, (q-1)/q
	switch {
	case c == 0:
		return x
	case p == 0:
		return math.Log1p(c*x) / c
	}
	return math.Expm1(p*math.Log1p(c*x)) / (p * c)
}

// ritardCurve puts in what is left open, and holds the rest within what can be played.
func ritardCurve(w, q float64) (float64, float64) {
	if w == 0 || math.IsNaN(w) {
		w = DefaultEndTempo
	}
	if q == 0 || math.IsNaN(q) {
		q = DefaultCurve
	}
	return min(max(w, leastEndTempo), 1), max(q, 1)
}

// held holds x within 0 and 1; what is not a number is 0.
func held(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	return min(x, 1)
}

// Ritard is a slowing down to the end of a piece or of a section, which nobody pays back.
type Ritard struct {
	From, To time.Duration // written time
	W, Q     float64       // of [FinalRitard]; 0 for the defaults
	Most     time.Duration // by which it may make the end later; W is raised to keep to it
}

// slowing is a ritard as it is played.
type slowing struct {
	from, length time.Duration // 0: none
	w, q         float64
}

// slow makes the ritard of quantity k: its end tempo is W^k, so k 0 is none.
func (r Ritard) slow(k float64) slowing {
	w, q := ritardCurve(r.W, r.Q)
	s := slowing{from: r.From, length: r.To - r.From, w: max(math.Pow(w, k), leastEndTempo), q: q}
	if s.length <= 0 || r.Most <= 0 || k == 0 {
		return slowing{}
	}
	if s.delay() <= r.Most {
		return s
	}
	// The delay falls as w rises to 1, where there is none.
	low, high := s.w, 1.0
	for range 60 {
		s.w = (low + high) / 2
		if s.delay() > r.Most {
			low = s.w
		} else {
			high = s.w
		}
	}
	s.w = high
	return s
}

// delay is by how much the end is later.
func (s *slowing) delay() time.Duration { return s.at(s.from + s.length) }

// at is by how much t is later.
func (s *slowing) at(t time.Duration) time.Duration {
	if s.length == 0 || t <= s.from {
		return 0
	}
	x := s.place(t)
	return time.Duration(math.Round((RitardTime(x, s.w, s.q) - x) * float64(s.length)))
}

// slope is how much later it gets at t, a unit of time.
func (s *slowing) slope(t time.Duration) float64 {
	if s.length == 0 || t < s.from || t >= s.from+s.length {
		return 0
	}
	return 1/FinalRitard(s.place(t), s.w, s.q) - 1
}

func (s *slowing) place(t time.Duration) float64 {
	return held(float64(t-s.from) / float64(s.length))
}
