package live_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
	"swellbox/proxy/ports/portstub"
)

// ahead has a daemon look ahead, with players who keep the ensemble's time.
func ahead(l time.Duration) func(*live.Config) {
	return func(c *live.Config) {
		c.Manner = perform.Manner{Lookahead: l, Without: []string{"together", "rubato"}}
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
			if !bytes.Equal(got[i].Data, fed[i].Data) || delay < 0 || delay > engine.MaxLookahead {
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
		for _, l := range []time.Duration{-ms, engine.MaxLookahead + ms} {
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
		var fails bool
		r := start(t, 1, func(c *live.Config) {
			failing(&fails)(c)
			c.Habits = []expr.Habit{}
			c.Manner.Lookahead = lookahead
		})
		r.feed(1, 0xFA)
		fed := map[byte]time.Time{}
		for key := byte(56); key < 76; key++ {
			fed[key] = time.Now()
			fails = fails || key == 66
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

// However raw and shaped are switched while notes wait, which the players play at times
// of their own, nothing is left sounding.
func TestSwitchesWithNotesWaiting(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := start(t, 1, func(c *live.Config) {
			c.Manner = perform.Manner{Lookahead: 600 * ms, Rubato: 1, Seed: 9}
		})
		r.feed(1, 0xFA)
		random := rand.New(rand.NewPCG(7, 8))
		side := expr.Shaped
		const notes = 400
		for i := range notes {
			channel, key := byte(random.IntN(3)), byte(40+i%60)
			r.feed(1, 0x90|channel, key, 80)
			pass(time.Duration(10+random.IntN(150)) * ms)
			r.feed(1, 0x80|channel, key, 64)
			switch random.IntN(10) {
			case 0:
				side ^= expr.Both
				if err := r.d.Switch(side, nil); err != nil {
					t.Fatal(err)
				}
			case 1:
				if err := r.d.SetLookahead(time.Duration(random.IntN(1500)) * ms); err != nil {
					t.Fatal(err)
				}
			}
		}
		pass(5 * time.Second)
		got := r.heard(1)
		if left := sounding(got); len(left) != 0 {
			t.Errorf("%v sound", left)
		}
		// The sides play a note at different times, and it is heard once all the same.
		if n := count(got, 0x90) + count(got, 0x91) + count(got, 0x92); n != notes {
			t.Errorf("%d notes sound of %d", n, notes)
		}
	})
}
