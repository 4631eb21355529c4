package console

import (
	"crypto/rand"
	"errors"
	"math"
	"sync"

	"swellbox/expr"
)

// blind is a blind test: A is raw and B is shaped, both equally loud, and X is one of them, drawn
// anew for each answer. Which one it is nobody is told before they have answered.
type blind struct {
	mu sync.Mutex
	sitting
}

// sitting is one test, from its begin to its end.
type sitting struct {
	on      bool
	x       expr.Side
	playing string // "a", "b" or "x"
	trials  int
	right   int
	last    string    // what became of the last answer: "right", "wrong"; empty before the first
	before  expr.Side // what sounded before the test
	matched bool      // the sides were at one level before
}

func (b *blind) told() *Blind {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.on {
		return nil
	}
	return &Blind{Playing: b.playing, Trials: b.trials, Right: b.right, Last: b.last, Chance: chance(b.right, b.trials)}
}

// chance is the probability of at least so many right answers of n, each by the toss of a coin:
// the upper tail of the binomial distribution.
func chance(right, n int) float64 {
	p := 0.0
	for k := right; k <= n; k++ {
		lgn, _ := math.Lgamma(float64(n + 1))
		lgk, _ := math.Lgamma(float64(k + 1))
		lgr, _ := math.Lgamma(float64(n - k + 1))
		p += math.Exp(lgn - lgk - lgr - float64(n)*math.Ln2)
	}
	return min(p, 1)
}

var (
	errBlind   = errors.New("a blind test is under way; end it first")
	errNoBlind = errors.New("no blind test is under way; begin one first")
)

// draw has X be one of the sides.
func (b *blind) draw() {
	var toss [1]byte
	rand.Read(toss[:]) // it never fails
	b.x = expr.Raw
	if toss[0]&1 == 1 {
		b.x = expr.Shaped
	}
}

// begin begins a test in which all parts play one side.
func (b *blind) begin(cfg *Config, before expr.Side, matched bool) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.on {
		return errBlind
	}
	if err := cfg.Played.Switch(expr.Raw, nil); err != nil {
		return err
	}
	cfg.Gauges.Match(true)
	b.sitting = sitting{on: true, playing: "a", before: before, matched: matched}
	b.draw()
	return nil
}

// play has one of A, B and X sound.
func (b *blind) play(cfg *Config, what string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.on {
		return errNoBlind
	}
	side := b.x
	switch what {
	case "a":
		side = expr.Raw
	case "b":
		side = expr.Shaped
	case "x":
	default:
		return errors.New("what is to sound is a, b or x")
	}
	if err := cfg.Played.Switch(side, nil); err != nil {
		return err
	}
	b.playing = what
	return nil
}

// answer takes what X is said to be, and draws another.
func (b *blind) answer(what string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.on {
		return errNoBlind
	}
	said, ok := map[string]expr.Side{"a": expr.Raw, "b": expr.Shaped}[what]
	if !ok {
		return errors.New("say for X a or b")
	}
	b.trials++
	b.last = "wrong"
	if said == b.x {
		b.right++
		b.last = "right"
	}
	// What was X sounds on, and is known now.
	if b.playing == "x" {
		b.playing = map[expr.Side]string{expr.Raw: "a", expr.Shaped: "b"}[b.x]
	}
	b.draw()
	return nil
}

// end ends the test and lets all be as it was.
func (b *blind) end(cfg *Config) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if !b.on {
		return errNoBlind
	}
	b.on = false
	cfg.Gauges.Match(b.matched)
	return cfg.Played.Switch(b.before, nil)
}

// runs reports whether a test is under way.
func (b *blind) runs() bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.on
}
