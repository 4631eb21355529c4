// Package follow measures how soon live music is found in a score that is loaded: scores played
// from anywhere as a notation program plays them, and players of whom an alignment tells which
// note of the score each of theirs is. What it counts is what the daemon tells: the bar as it is
// printed, once that is likelier than not.
package follow

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

const (
	together = 30 * time.Millisecond // notes of one moment
	tail     = 20 * time.Second      // before the end nothing is begun
	soon     = 5 * time.Second       // how long is listened at least
	longest  = 12 * time.Second      // and at most
	slowest  = 0.8                   // live by written tempo
	fastest  = 1.25
)

// Live is a note as it comes in.
type Live struct {
	At      time.Duration
	Port    uint16
	Channel uint8
	Key     uint8
	Bar     int // as printed, where it is in the score; -1 for a note that is not in it
}

// Count counts starts.
type Count struct {
	Starts            int
	Four, Eight, Five int // told rightly after 4 and 8 moments, and after 5 seconds
	Wrong             int // told wrongly at one of these
	Notes             int
	Nanoseconds       int64
}

// Add adds another count.
func (c *Count) Add(o Count) {
	c.Starts += o.Starts
	c.Four += o.Four
	c.Eight += o.Eight
	c.Five += o.Five
	c.Wrong += o.Wrong
	c.Notes += o.Notes
	c.Nanoseconds += o.Nanoseconds
}

// Score plays a score from some places of it, each with a listener who knows nothing yet.
func Score(score *expr.Score, starts int, sure float64, rng *rand.Rand) Count {
	live := make([]Live, len(score.Notes))
	for i := range score.Notes {
		n := &score.Notes[i]
		live[i] = Live{n.On, n.Port, n.Channel, n.Key, barAt(score, n.On)}
	}
	return listen(score, live, starts, sure, rng, true)
}

// barAt is the printed number of the bar that begins last before a time of the score.
func barAt(score *expr.Score, at time.Duration) int {
	i, found := slices.BinarySearchFunc(score.Bars, at, func(b expr.Bar, at time.Duration) int { return cmp.Compare(b.At, at) })
	if !found {
		i--
	}
	if i < 0 {
		return 0
	}
	return score.Bars[i].Number
}

// BarOf is the printed number of the bar of a beat of the score, -1 for what is no number.
func BarOf(score *expr.Score, beat float64) int {
	const rounding = 1e-3
	for i := len(score.Bars) - 1; i >= 0; i-- {
		if score.Bars[i].Beat <= beat+rounding {
			return score.Bars[i].Number
		}
	}
	return -1
}

// Performance has notes of a player come in from some places on.
func Performance(score *expr.Score, live []Live, starts int, sure float64, rng *rand.Rand) Count {
	return listen(score, live, starts, sure, rng, false)
}

func listen(score *expr.Score, live []Live, starts int, sure float64, rng *rand.Rand, anyTempo bool) (sum Count) {
	if len(live) == 0 {
		return sum
	}
	slices.SortStableFunc(live, func(a, b Live) int { return cmp.Compare(a.At, b.At) })
	last, _ := slices.BinarySearchFunc(live, live[len(live)-1].At-tail, func(n Live, at time.Duration) int { return cmp.Compare(n.At, at) })
	for range starts {
		from := rng.IntN(max(last, 1))
		for from > 0 && live[from].At-live[from-1].At < together {
			from-- // the whole of a moment
		}
		tempo := 1.
		if anyTempo {
			tempo = slowest + rng.Float64()*(fastest-slowest)
		}
		sum.Add(start(score, live[from:], tempo, sure))
	}
	return sum
}

func start(score *expr.Score, live []Live, tempo, sure float64) Count {
	f := following.New(score)
	c := Count{Starts: 1}
	begun, moment, moments := live[0].At, live[0].At, 0
	bar := live[0].Bar
	wrong := false
	judge := func(at time.Duration, right *int) {
		p := f.Position(at)
		switch {
		case p.BarIndex < 0 || p.Sure < sure:
		case p.Bar == bar:
			*right = 1
		default:
			wrong = true
		}
	}
	five := false
	for i := range live {
		n := &live[i]
		at := time.Duration(float64(n.At-begun) / tempo)
		if n.At-moment >= together || i == 0 {
			now := time.Duration(float64(live[max(i-1, 0)].At-begun) / tempo)
			switch moments {
			case 4:
				judge(now, &c.Four)
			case 8:
				judge(now, &c.Eight)
			}
			if at > soon && !five {
				five = true
				judge(now, &c.Five)
			}
			moments++
			moment = n.At
		}
		if five && moments > 9 || at > longest {
			break
		}
		before := time.Now()
		f.Note(at, n.Port, n.Channel, n.Key)
		c.Nanoseconds += time.Since(before).Nanoseconds()
		c.Notes++
		if n.Bar >= 0 {
			bar = n.Bar
		}
	}
	if wrong {
		c.Wrong = 1
	}
	return c
}
