package quiz

import "math"

// Scale is the amounts between which a staircase moves, in the unit of its skill. All
// are over 0, and it starts where the difference is plain.
type Scale struct{ Start, Top, Floor float64 }

// A staircase goes down after two right answers in a row and up after a wrong one, and
// so settles where 70.7 % of the answers are right: there, two right ones in a row are
// as likely as not. Its steps are factors, which become smaller as the direction is
// reversed; the threshold is the mean of the last reversals, on the scale of factors.
//
// Source: H. Levitt, "Transformed Up-Down Methods in Psychoacoustics", JASA 49 (1971)
// 467-477, from memory. The sizes of the steps and how many reversals count are ours.
const (
	rightToGoDown    = 2
	reversalsOfARun  = 10
	reversalsCounted = 6
)

// stepAfter is the factor of a step after so many reversals: a doubling, then its
// square root, then its fourth root.
func stepAfter(reversals int) float64 {
	switch {
	case reversals < 2:
		return 2
	case reversals < reversalsOfARun-reversalsCounted:
		return math.Sqrt2
	}
	return math.Sqrt(math.Sqrt2)
}

// Staircase is one run that finds a listener's threshold; see [NewStaircase].
type Staircase struct {
	scale     Scale
	level     float64
	right     int       // answers in a row, since the last step
	direction int       // of the last step: -1 down, +1 up, 0 before the first
	reversals []float64 // the levels at which the direction was reversed
}

// NewStaircase starts a run.
func NewStaircase(s Scale) *Staircase { return &Staircase{scale: s, level: s.Start} }

// fresh reports whether nothing was answered yet.
func (s *Staircase) fresh() bool { return s.direction == 0 && s.right == 0 }

// Level is the amount to ask next.
func (s *Staircase) Level() float64 { return s.level }

// Answer takes an answer to a question at the present level.
func (s *Staircase) Answer(right bool) {
	if !right {
		s.step(+1)
		return
	}
	if s.right++; s.right == rightToGoDown {
		s.step(-1)
	}
}

func (s *Staircase) step(direction int) {
	s.right = 0
	if s.direction == -direction {
		s.reversals = append(s.reversals, s.level)
	}
	s.direction = direction
	next := s.level * math.Pow(stepAfter(len(s.reversals)), float64(direction))
	s.level = min(max(next, s.scale.Floor), s.scale.Top)
}

// Reversals is how often the direction was reversed, and how often it will have been
// at the end of the run.
func (s *Staircase) Reversals() (n, of int) { return len(s.reversals), reversalsOfARun }

// Threshold is the amount of which 70.7 % is heard, once the run is over.
func (s *Staircase) Threshold() (level float64, over bool) {
	if len(s.reversals) < reversalsOfARun {
		return 0, false
	}
	sum := 0.0
	for _, r := range s.reversals[reversalsOfARun-reversalsCounted : reversalsOfARun] {
		sum += math.Log(r)
	}
	return math.Exp(sum / reversalsCounted), true
}
