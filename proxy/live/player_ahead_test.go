package live_test

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// A loop with lookahead is heard whole in every round, and a piece to its end; the
// position is that of what is heard.
func TestPlayWithLookahead(t *testing.T) {
	const lookahead = 1500
	tl := quarters(t, 2*bar, []smf.Event{
		at(0, 0x90, 60, 80), at(quarter, 0x80, 60, 64), at(quarter, 0xB0, 7, 100),
		at(bar, 0xB0, 64, 127), at(2*bar-quarter, 0x90, 64, 80), // neither ends
	})
	round := func(begin int) []string {
		return []string{
			fmt.Sprintf("%d 90 3C 50", begin), fmt.Sprintf("%d 80 3C 40", begin+500), fmt.Sprintf("%d B0 07 64", begin+500),
			fmt.Sprintf("%d B0 40 7F", begin+2000), fmt.Sprintf("%d 90 40 50", begin+3500), fmt.Sprintf("%d 80 40 40", begin+4000),
		}
	}
	prepare := func(t *testing.T, loop live.Loop) (*rig, *live.Player) {
		r := start(t, 1, func(c *live.Config) { c.Inputs, c.Manner.Lookahead = nil, lookahead*ms })
		p, err := live.NewPlayer(r.d, tl, loop)
		if err != nil {
			t.Fatal(err)
		}
		if err := r.d.Switch(expr.Raw, nil); err != nil {
			t.Fatal(err)
		}
		return r, p
	}
	t.Run("to the end", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			r, p := prepare(t, live.Loop{})
			if err := p.Play(t.Context()); err != nil {
				t.Fatal(err)
			}
			if d := time.Since(r.begun); d < (4000+lookahead)*ms || d > (4000+lookahead+250)*ms {
				t.Errorf("played for %v", d)
			}
			wantLines(t, listed(r.begun, r.heard(1)), round(lookahead))
		})
	})
	t.Run("loop", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			r, p := prepare(t, live.Loop{First: 1, Last: 2})
			ctx, cancel := context.WithTimeout(t.Context(), 11*time.Second)
			defer cancel()
			done := make(chan error)
			go func() { done <- p.Play(ctx) }()
			for _, c := range []struct {
				at   time.Duration
				want live.Position
			}{
				{1000 * ms, live.Position{Bar: 1, Beat: 1}}, // nothing is heard yet
				{2000 * ms, live.Position{Bar: 1, Beat: 2}},
				{5000 * ms, live.Position{Bar: 2, Beat: 4}}, // while the next round comes in
				{6000 * ms, live.Position{Bar: 1, Beat: 2}},
			} {
				pass(time.Until(r.begun.Add(c.at)))
				if s := r.d.Status(); s.Position == nil || *s.Position != c.want || s.DelayMS != lookahead || s.Foreknowledge.Grade != "lookahead" {
					t.Errorf("at %v: position %+v, want %+v; delay %v ms", c.at, s.Position, c.want, s.DelayMS)
				}
			}
			if err := <-done; !errors.Is(err, context.DeadlineExceeded) {
				t.Errorf("Play: %v", err)
			}
			var want []string
			for begin := lookahead; begin <= lookahead+8000; begin += 4000 {
				want = append(want, fmt.Sprintf("%d B0 07 64", begin), fmt.Sprintf("%d B0 40 00", begin))
				want = append(want, round(begin)...)
			}
			wantLines(t, listed(r.begun, r.heard(1)), append(want[:len(want)-3], "11000 B0 40 7F")) // which comes at once, where notes that wait are dropped
		})
	})
}

// A file that is played is the same performance as a render in the same manner, message for
// message.
func TestPlayIsRender(t *testing.T) {
	for name, c := range map[string]struct {
		manner perform.Manner
		least  int // messages
	}{
		"scored":       {perform.Manner{Scored: true}, 10_000},
		"rubato":       {perform.Manner{Scored: true, Lookahead: 400 * ms, Rubato: 1, Seed: 5}, 10_000},
		"a few habits": {perform.Manner{Scored: true, Only: []string{"phrase", "orchestra-weight"}}, 2000},
		"unscored":     {perform.Manner{}, 10_000},
	} {
		manner := c.manner
		t.Run(name, func(t *testing.T) {
			score, want := rendered(t, demo.Score(), manner)
			synctest.Test(t, func(t *testing.T) {
				r := start(t, score.Ports, func(c *live.Config) {
					c.Inputs, c.Cast, c.Manner = nil, seated(t, scoreSeating()), manner
				})
				p, err := live.NewPlayer(r.d, score, live.Loop{})
				if err != nil {
					t.Fatal(err)
				}
				if err := p.Play(t.Context()); err != nil {
					t.Fatal(err)
				}
				sameAsRender(t, r, score, want, manner.Lookahead, c.least)
			})
		})
	}
}
