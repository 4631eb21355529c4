package proxy_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/proxy"
	"swellbox/proxy/demo"
	"swellbox/proxy/portstub"
	"swellbox/proxy/smf"
)

// ahead has a daemon look ahead, with players who keep the ensemble's time.
func ahead(l time.Duration) func(*proxy.Config) {
	return func(c *proxy.Config) {
		c.Manner = proxy.Manner{Lookahead: l, Without: []string{"timing", "rubato"}}
	}
}

// With lookahead raw and shaped sound later alike, and nothing else is changed of what
// came in.
func TestLookaheadDelaysBothSides(t *testing.T) {
	const lookahead = 500 * ms
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, ahead(lookahead))
		if err := r.d.Switch(expr.Raw, []string{"Violas"}); err == nil {
			t.Fatal("a part is seated before its first note")
		}
		r.feed(1, 0xFA)
		random := rand.New(rand.NewPCG(3, 4))
		var fed []portstub.Message
		put := func(b ...byte) {
			r.feed(1, b...)
			fed = append(fed, portstub.Message{At: time.Now(), Data: b})
		}
		for range 200 {
			put(0x90|byte(random.IntN(3)), byte(40+random.IntN(40)), byte(1+random.IntN(127)))
			pass(time.Duration(random.IntN(200)) * ms)
			put(0x80|fed[len(fed)-1].Data[0]&0x0F, fed[len(fed)-1].Data[1], 64)
			if len(fed) == 200 {
				pass(2 * time.Second) // on either side of the switch all has sounded
				if err := r.d.Switch(expr.Raw, nil); err != nil {
					t.Fatal(err)
				}
			}
		}
		pass(2 * time.Second)
		on := func(msgs []portstub.Message) (notes []portstub.Message) {
			for _, m := range msgs {
				if m.Data[0]&0xF0 == 0x90 {
					notes = append(notes, m)
				}
			}
			return notes
		}
		want, got := on(fed), on(r.heard(1))
		if len(got) != len(want) {
			t.Fatalf("%d notes of %d sound", len(got), len(want))
		}
		for i, w := range want {
			raw := i >= len(want)/2
			if g := got[i]; g.At.Sub(w.At) != lookahead || !bytes.Equal(g.Data[:2], w.Data[:2]) || raw && g.Data[2] != w.Data[2] {
				t.Fatalf("note %d: % X came in and % X sounds %v later", i, w.Data, g.Data, g.At.Sub(w.At))
			}
		}
		if left := sounding(r.heard(1)); len(left) != 0 {
			t.Errorf("%v sound", left)
		}
	})
}

// Single notes that are tried sound at once, and what the status says of the delay is
// what they have; once the transport runs, all waits. The log says so, once.
func TestAuditionsSoundAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, ahead(750*ms))
		check := func(delay float64, transport, grade string) {
			t.Helper()
			if s := r.d.Status(); s.DelayMS != delay || s.Foreknowledge.Transport != transport || s.Foreknowledge.LookaheadMS != 750 || s.Foreknowledge.Grade != grade {
				t.Errorf("delay %v ms, %+v", s.DelayMS, s.Foreknowledge)
			}
		}
		check(0, "stands", "none")
		for range 3 {
			r.feed(1, 0x90, 60, 80)
			if count(r.heard(1), 0x90) == 0 {
				t.Fatal("a note that is tried does not sound at once")
			}
			pass(400 * ms)
			r.feed(1, 0x80, 60, 64)
			check(0, "stands", "none")
			pass(2 * time.Second)
			r.sys.Forget(out(1))
		}
		r.feed(1, 0xFA)
		r.feed(1, 0x90, 60, 80)
		check(750, "runs", "lookahead")
		if count(r.heard(1), 0x90) != 0 {
			t.Error("a note of music that runs sounds at once")
		}
		pass(750 * ms)
		if count(r.heard(1), 0x90) != 1 {
			t.Error("it does not sound after the lookahead")
		}
		r.feed(1, 0x80, 60, 64)
		pass(5 * time.Second)
		r.feed(1, 0xFC)
		pass(5 * time.Second)
		check(0, "stands", "none")
		log := r.log.String()
		for _, line := range []string{"notes sound at once, in spite of the lookahead: single notes", "notes sound 750 ms later: clock runs", "in spite of the lookahead: transport stopped"} {
			if strings.Count(log, line) != 1 {
				t.Errorf("the log does not say %q once:\n%s", line, log)
			}
		}
		if strings.Count(log, "\n") != 4 { // and who plays
			t.Errorf("the log:\n%s", log)
		}
	})
}

// However the lookahead is changed while music plays, each message comes once, in order
// and never before it came in, and no change of the delay is faster than a quarter of the time.
func TestLookaheadChangesWhilePlaying(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, nil)
		if err := r.d.Switch(expr.Raw, nil); err != nil {
			t.Fatal(err)
		}
		r.feed(1, 0xFA)
		random := rand.New(rand.NewPCG(5, 6))
		fed := []portstub.Message{{At: time.Now(), Data: []byte{0xFA}}}
		for i := range 3000 {
			b := []byte{0x90 | byte(random.IntN(3)), 60, byte(100 * (i % 2))}
			if random.IntN(4) == 0 {
				b = []byte{0xB0, 20, byte(i % 128)}
			}
			r.feed(1, b...)
			fed = append(fed, portstub.Message{At: time.Now(), Data: b})
			pass(time.Duration(1+random.IntN(30)) * ms)
			if random.IntN(100) == 0 {
				if err := r.d.SetLookahead(time.Duration(random.IntN(3001)) * ms); err != nil {
					t.Fatal(err)
				}
			}
		}
		pass(4 * time.Second)
		got := r.heard(1)
		if len(got) != len(fed) {
			t.Fatalf("%d messages of %d", len(got), len(fed))
		}
		var most, before time.Duration
		for i := range fed {
			delay := got[i].At.Sub(fed[i].At)
			if !bytes.Equal(got[i].Data, fed[i].Data) || delay < 0 || delay > expr.MaxLookahead {
				t.Fatalf("message %d, % X: % X came %v later", i, fed[i].Data, got[i].Data, delay)
			}
			if i > 0 {
				if step := fed[i].At.Sub(fed[i-1].At); (delay - before).Abs() > step/4+time.Microsecond {
					t.Fatalf("message %d: the delay went from %v to %v within %v", i, before, delay, step)
				}
			}
			before, most = delay, max(most, delay)
		}
		if most < time.Second {
			t.Errorf("the longest delay was %v: nothing was tried", most)
		}
		for _, l := range []time.Duration{-ms, expr.MaxLookahead + ms} {
			if err := r.d.SetLookahead(l); err == nil || !strings.Contains(err.Error(), "0 to 3000 ms") {
				t.Errorf("a lookahead of %v: %v", l, err)
			}
		}
	})
}

// After a panic and a shutdown nothing more is heard of what waited, and no pedal that
// waited goes down; programs and controllers that waited have come.
func TestSilencedWithNotesWaiting(t *testing.T) {
	for name, silence := range map[string]func(r *rig){
		"panic": func(r *rig) { r.d.Panic() },
		"close": func(r *rig) { r.close() },
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 1, ahead(time.Second))
				r.feed(1, 0xFA)
				r.feed(1, 0x90, 60, 80)
				pass(1500 * ms) // it sounds
				r.feed(1, 0xB0, 64, 127)
				r.feed(1, 0xB0, 7, 33)
				r.feed(1, 0xC1, 40)
				r.feed(1, 0x90, 62, 80)
				pass(20 * ms)
				silence(r)
				begun := time.Now()
				pass(5 * time.Second)
				got := r.heard(1)
				for _, m := range got {
					if m.Data[0]&0xF0 == 0x90 && !m.At.Before(begun) {
						t.Errorf("% X sounds %v later", m.Data, m.At.Sub(begun))
					}
				}
				if left := sounding(got); len(left) != 0 || count(got, 0x90, 60) != 1 || count(got, 0x90, 62) != 0 {
					t.Errorf("%v sound", left)
				}
				if pedal, volume := last(got, 0, 64), last(got, 0, 7); pedal != 0 || volume != 33 || count(got, 0xC1, 40) != 1 {
					t.Errorf("the pedal is at %d, the volume at %d", pedal, volume)
				}
			})
		})
	}
}

// What a lost input has sent is heard to its end, and then ended.
func TestInputLostWithNotesWaiting(t *testing.T) {
	for _, back := range []bool{false, true} {
		t.Run(fmt.Sprintf("back %v", back), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := start(t, 1, ahead(3*time.Second))
				r.feed(1, 0xFA)
				r.feed(1, 0xB0, 64, 127)
				r.feed(1, 0x90, 60, 80)
				pass(ms)
				r.sys.Unplug(in(1))
				pass(2900 * ms)
				if count(r.heard(1), 0x90) != 0 {
					t.Fatal("the note does not wait")
				}
				if back {
					r.sys.Plug(in(1), true, false)
				}
				pass(3 * time.Second)
				got := r.heard(1)
				if left := sounding(got); len(left) != 0 || last(got, 0, 64) != 0 {
					t.Errorf("%v sound, the pedal is at %d", left, last(got, 0, 64))
				}
				if n := count(got, 0x90, 60); n != 1 {
					t.Errorf("the note sounds %d times", n)
				}
			})
		})
	}
}

// An engine that fails with notes waiting loses none of them, plays none twice and
// leaves none sounding.
func TestEngineFailsWithNotesWaiting(t *testing.T) {
	const lookahead = 400 * ms
	synctest.Test(t, func(t *testing.T) {
		unnamed := false
		r := start(t, 1, func(c *proxy.Config) {
			c.Rules = []expr.Rule{faulty{key: 66, unnamed: &unnamed}}
			c.Manner.Lookahead = lookahead
		})
		r.feed(1, 0xFA)
		fed := map[byte]time.Time{}
		for key := byte(56); key < 76; key++ {
			fed[key] = time.Now()
			r.feed(1, 0x90, key, 80)
			pass(100 * ms)
			r.feed(1, 0x80, key, 64)
			r.feed(1, 0xB0, 20, key)
		}
		pass(2 * time.Second)
		got := r.heard(1)
		wantContains(t, "warnings", strings.Join(r.d.Status().Warnings, "\n"), "engine failed")
		for key, at := range fed {
			if n := count(got, 0x90, key); n != 1 && key != 66 {
				t.Errorf("key %d sounds %d times", key, n)
			}
			if n := count(got, 0xB0, 20, key); n != 1 {
				t.Errorf("the controller of key %d comes %d times", key, n)
			}
			for _, m := range got {
				if bytes.HasPrefix(m.Data, []byte{0x90, key}) && m.At.Sub(at) != lookahead {
					t.Errorf("key %d sounds %v later", key, m.At.Sub(at))
				}
			}
		}
		if left := sounding(got); len(left) != 0 {
			t.Errorf("%v sound", left)
		}
	})
}

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
	prepare := func(t *testing.T, loop proxy.Loop) (*rig, *proxy.Player) {
		r := start(t, 1, func(c *proxy.Config) { c.Inputs, c.Manner.Lookahead = nil, lookahead*ms })
		p, err := proxy.NewPlayer(r.d, tl, loop)
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
			r, p := prepare(t, proxy.Loop{})
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
			r, p := prepare(t, proxy.Loop{First: 1, Last: 2})
			ctx, cancel := context.WithTimeout(t.Context(), 11*time.Second)
			defer cancel()
			done := make(chan error)
			go func() { done <- p.Play(ctx) }()
			for _, c := range []struct {
				at   time.Duration
				want proxy.Position
			}{
				{1000 * ms, proxy.Position{Bar: 1, Beat: 1}}, // nothing is heard yet
				{2000 * ms, proxy.Position{Bar: 1, Beat: 2}},
				{5000 * ms, proxy.Position{Bar: 2, Beat: 4}}, // while the next round comes in
				{6000 * ms, proxy.Position{Bar: 1, Beat: 2}},
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
		manner proxy.Manner
		least  int // messages
	}{
		"scored":      {proxy.Manner{Scored: true}, 10_000},
		"rubato":      {proxy.Manner{Scored: true, Lookahead: 400 * ms, Rubato: 1, Seed: 5}, 10_000},
		"a few rules": {proxy.Manner{Scored: true, Only: []string{"phrase", "weighting"}}, 2000},
		"unscored":    {proxy.Manner{}, 10_000},
	} {
		manner := c.manner
		t.Run(name, func(t *testing.T) {
			file := demo.Score()
			rendered, _, err := proxy.Render(file, seated(t, scoreSeating()), manner)
			if err != nil {
				t.Fatal(err)
			}
			want, err := proxy.NewTimeline(rendered, 0)
			if err != nil {
				t.Fatal(err)
			}
			score, err := proxy.NewTimeline(file, 0)
			if err != nil {
				t.Fatal(err)
			}
			synctest.Test(t, func(t *testing.T) {
				r := start(t, score.Ports, func(c *proxy.Config) {
					c.Inputs, c.Cast, c.Manner = nil, seated(t, scoreSeating()), manner
				})
				p, err := proxy.NewPlayer(r.d, score, proxy.Loop{})
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
