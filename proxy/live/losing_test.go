package live_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/proxy/live"
	"swellbox/proxy/perform"
)

// playOut plays the piece up to a time at which its notes end, and lets it sound.
func (p *program) playOut(until time.Duration) {
	p.play(0, until)
	open := map[keyAt]bool{}
	for _, e := range p.tl.Events {
		if k := (keyAt{e.Port, byte(e.Channel()), e.Msg[1]}); e.At < until && e.IsNoteOn() {
			open[k] = true
		} else if e.At < until && e.IsNoteOff() {
			delete(open, k)
		}
	}
	for k := range open {
		p.r.feed(int(k.port)+1, 0x80|k.ch, k.key, 64)
	}
	pass(3 * time.Second)
}

// keyAt is a key of a channel.
type keyAt struct {
	port    uint16
	ch, key byte
}

// losing plays the built-in score into a daemon that knows it, in which something fails.
func losing(t *testing.T, w *exprtest.Failing, lookahead time.Duration) *program {
	return followed(t, perform.Manner{Lookahead: lookahead, Rubato: 1, Trial: w.Try})
}

// What fails live is named in the status and the log, costs no note and no other part or
// knowledge, and is tried again with the next piece.
func TestLiveLosesOneKind(t *testing.T) {
	for k := range expr.OfAll {
		for _, lookahead := range [...]time.Duration{0, 600 * ms} {
			t.Run(fmt.Sprintf("%d, lookahead %v", k, lookahead), func(t *testing.T) {
				synctest.Test(t, func(t *testing.T) {
					w := &exprtest.Failing{Kind: k, After: 5}
					if k == expr.OfPedal {
						w.After = 0
					}
					p := losing(t, w, lookahead)
					p.r.feed(1, 0xFA)
					p.playOut(p.barAt(4))
					s := p.r.d.Status()
					said := strings.Join(s.Warnings, "\n")
					want := k.Loss("a wrong turn").Error()
					if k == expr.OfHabits {
						want = "the part plays raw"
					}
					if w.Failed() != strings.Contains(said, want) {
						t.Errorf("used %d times, and the warnings are %q", w.Uses, said)
					}
					if w.Failed() {
						wantContains(t, "log", p.r.log.String(), `"level":"error"`, "a wrong turn")
					} else if lookahead > 0 {
						t.Errorf("it was used %d times", w.Uses)
					}
					notes := 0
					for port := 1; port <= p.tl.Ports; port++ {
						got := p.r.heard(port)
						if left := sounding(got); len(left) != 0 {
							t.Errorf("port %d: %v sound", port, left)
						}
						for ch := range byte(16) {
							notes += count(got, 0x90|ch)
						}
					}
					if uint64(notes) != s.NotesIn || s.Side != "shaped" {
						t.Errorf("%d notes in, %d out, on the side %s", s.NotesIn, notes, s.Side)
					}
					w.Mends = true
					p.r.feed(1, 0xFC)
					p.r.feed(1, 0xFA)
					p.playOut(p.barAt(4))
					if s = p.r.d.Status(); len(s.Warnings) != 0 {
						t.Errorf("with the next piece: %q", s.Warnings)
					}
				})
			})
		}
	}
}

// An engine that failed is replaced when the music starts anew, and after a rest: the parts are
// shaped as before, on the sides that were chosen, and know what was said before.
func TestEngineStartsAnew(t *testing.T) {
	for _, how := range []string{"a start", "a rest"} {
		t.Run(how, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				fails := false
				r := start(t, 2, failing(&fails))
				r.feed(1, 0xB0, 11, 100)
				r.feed(1, 0xB0, 7, 90)
				for ch := range byte(3) {
					r.feed(1, 0x90|ch, 60, 80)
				}
				if err := r.d.Switch(expr.Raw, []string{"Violas"}); err != nil {
					t.Fatal(err)
				}
				pass(time.Second)
				fails = true
				for ch := range byte(3) {
					r.feed(1, 0x80|ch, 60, 64)
				}
				pass(time.Second)
				if s := r.d.Status(); s.Side != "raw" {
					t.Fatalf("after the failure the side is %s", s.Side)
				}
				if how == "a start" {
					r.feed(1, 0xFA)
				} else {
					pass(12 * time.Second)
				}
				s := r.d.Status()
				if s.Side != "mixed" || len(s.Warnings) != 0 || s.Parts[1].Side != "raw" {
					t.Errorf("side %s, warnings %q, parts %+v", s.Side, s.Warnings, s.Parts)
				}
				if err := r.d.Switch(expr.Shaped, nil); err != nil {
					t.Error(err)
				}
				for ch := range byte(3) {
					r.feed(1, 0x90|ch, 62, 80)
				}
				pass(time.Second)
				got := r.heard(1)
				if v := last(got, 0, 11); v >= 100 || v < 20 {
					t.Errorf("expression is at %d, want it under 100 as it came in, by the shaping", v)
				}
				if v := last(got, 0, 7); v != 90 {
					t.Errorf("the volume is at %d, want 90 as it came in", v)
				}
				for ch := range byte(3) {
					r.feed(1, 0x80|ch, 62, 64)
				}
				pass(time.Second)
				if left := sounding(r.heard(1)); len(left) != 0 {
					t.Errorf("%v sound", left)
				}
			})
		})
	}
}

// A file that is played goes on without a score that cannot be read.
func TestPlayerLosesItsScore(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := &exprtest.Failing{Kind: expr.OfScore}
		_, tl := theScore(t)
		r := start(t, tl.Ports, func(c *live.Config) {
			c.Inputs = nil
			c.Cast = seated(t, scoreSeating())
			c.Manner = perform.Manner{Scored: true, Trial: w.Try}
		})
		p, err := live.NewPlayer(r.d, tl, live.Loop{})
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Play(t.Context()); err != nil {
			t.Fatal(err)
		}
		pass(time.Second)
		notes := 0
		for port := 1; port <= tl.Ports; port++ {
			got := r.heard(port)
			for ch := range byte(16) {
				notes += count(got, 0x90|ch)
			}
		}
		s := r.d.Status()
		if uint64(notes) != s.NotesIn || notes == 0 || s.Side != "shaped" {
			t.Errorf("%d notes in, %d out, on the side %s", s.NotesIn, notes, s.Side)
		}
		wantContains(t, "log", r.log.String(), "the score cannot be read", "a wrong turn")
	})
}
