package quiz

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// listener answers like a person: right with the chance of Weibull's psychometric
// function for two alternatives, W. Weibull 1951, from memory.
type listener struct {
	alpha, beta float64
	rng         *rand.Rand
}

func (l *listener) chance(level float64) float64 {
	return 1 - .5*math.Exp(-math.Pow(level/l.alpha, l.beta))
}

// threshold is the level of the chance that Levitt gives: the root of one half.
func (l *listener) threshold() float64 {
	return l.alpha * math.Pow(-math.Log(2*(1-math.Sqrt(.5))), 1/l.beta)
}

func (l *listener) answer(level float64) bool { return l.rng.Float64() < l.chance(level) }

// Runs of listeners of many kinds end, on the mean, at the level of 70.7 %.
func TestThresholdOfModelListeners(t *testing.T) {
	const runs = 1000
	scale := Scale{Start: 16, Top: 32, Floor: .01}
	for _, alpha := range []float64{.5, 2, 6} {
		for _, beta := range []float64{1, 1.5, 3} {
			l := &listener{alpha, beta, rand.New(rand.NewPCG(7, uint64(100*alpha+beta)))}
			sum, squares, answers := 0.0, 0.0, 0
			for range runs {
				s := NewStaircase(scale)
				threshold, over := s.Threshold()
				for !over {
					s.Answer(l.answer(s.Level()))
					answers++
					threshold, over = s.Threshold()
				}
				x := math.Log(threshold / l.threshold())
				sum += x
				squares += x * x
			}
			bias, chance := sum/runs, l.chance(l.threshold()*math.Exp(sum/runs))
			t.Logf("α %g β %g: threshold × %.3f, spread × %.2f, %.1f %% right there, %d answers a run",
				alpha, beta, math.Exp(bias), math.Exp(math.Sqrt(squares/runs-bias*bias)), 100*chance, answers/runs)
			if math.Abs(chance-math.Sqrt(.5)) > .04 {
				t.Errorf("α %g β %g: ends where %.1f %% of the answers are right, want 70.7 ± 4", alpha, beta, 100*chance)
			}
		}
	}
}

// One run that never ends settles where the listener is right 70.7 % of the time.
func TestShareOfRightAnswers(t *testing.T) {
	l := &listener{2, 1.5, rand.New(rand.NewPCG(1, 2))}
	s := NewStaircase(Scale{Start: 16, Top: 32, Floor: .01})
	right, logs := 0, 0.0
	const warm, n = 200, 40000
	for i := range warm + n {
		level := s.Level()
		ok := l.answer(level)
		if i >= warm {
			logs += math.Log(level)
			if ok {
				right++
			}
		}
		s.Answer(ok)
	}
	if share := float64(right) / n; math.Abs(share-math.Sqrt(.5)) > .02 {
		t.Errorf("%.1f %% of the answers are right, want 70.7 ± 2", 100*share)
	}
	if x := math.Exp(logs/n) / l.threshold(); math.Abs(x-1) > .1 {
		t.Errorf("settles at %.2f of the threshold, want 1 ± 0.1", x)
	}
}

func TestStaircaseByHand(t *testing.T) {
	s := NewStaircase(Scale{Start: 8, Top: 16, Floor: .5})
	for i, c := range []struct {
		right     bool
		level     float64 // after the answer
		reversals int
	}{
		{true, 8, 0}, {true, 4, 0}, {true, 4, 0}, {true, 2, 0}, // down by two
		{false, 4, 1},                // up at 2
		{true, 4, 1}, {true, 2.8, 2}, // down at 4, by less
		{true, 2.8, 2}, {false, 4, 3}, // the right one before does not count any more
		{false, 5.7, 3}, {true, 5.7, 3}, {true, 4.8, 4},
		{false, 5.7, 5}, {false, 6.7, 5}, {false, 8, 5}, {false, 9.5, 5}, {false, 11.3, 5}, {false, 13.5, 5}, {false, 16, 5},
		{false, 16, 5}, // no further than the top
	} {
		s.Answer(c.right)
		n, of := s.Reversals()
		if math.Abs(s.Level()-c.level) > .06 || n != c.reversals || of != 10 {
			t.Fatalf("answer %d: level %.2f after %d reversals of %d, want %g after %d of 10", i+1, s.Level(), n, of, c.level, c.reversals)
		}
	}
}

// The level stays on its scale, and a run ends with a threshold between the levels
// that were asked, whatever the answers.
func TestStaircaseProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := Scale{Start: 8, Top: 12, Floor: .25}
		s := NewStaircase(scale)
		lo, hi := s.Level(), s.Level()
		for _, right := range rapid.SliceOfN(rapid.Bool(), 0, 300).Draw(t, "answers") {
			before, _ := s.Reversals()
			level := s.Level()
			lo, hi = min(lo, level), max(hi, level)
			s.Answer(right)
			if s.Level() < scale.Floor || s.Level() > scale.Top {
				t.Fatalf("level %g is off the scale", s.Level())
			}
			if !right && s.Level() < level || right && s.Level() > level {
				t.Fatalf("went from %g to %g after an answer that was right: %v", level, s.Level(), right)
			}
			if n, _ := s.Reversals(); n < before || n > before+1 {
				t.Fatalf("%d reversals became %d", before, n)
			}
			if th, over := s.Threshold(); over && (th < lo*(1-1e-9) || th > hi*(1+1e-9)) {
				t.Fatalf("a threshold of %g, though %g to %g was asked", th, lo, hi)
			}
		}
	})
}
