package engine

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// After a silence nothing of its port is left that came in before: the notes that waited
// are dropped, and all else has come at once, in order and on both sides. The other port
// goes on as if nothing had been.
func TestManySilenceLeavesNothingWaiting(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := decode(streams().Draw(r, "stream"))
		lookahead := time.Duration(rapid.IntRange(1, 3000).Draw(r, "lookahead")) * exprtest.Thousandth
		cut := rapid.IntRange(0, len(in)).Draw(r, "cut")
		e := foreseeing(t, lookahead, append(habits.Usual(), habits.Together{}, habits.Rubato{}))
		twin := foreseeing(t, lookahead, append(habits.Usual(), habits.Together{}, habits.Rubato{}))
		var out, undisturbed []expr.Event
		take := func(to *[]expr.Event) func(*expr.Event) { return func(ev *expr.Event) { *to = append(*to, *ev) } }
		for _, ev := range in[:cut] {
			e.Push(ev)
			twin.Push(ev)
			e.Pull(ev.At, take(&out))
		}
		at := e.now
		e.Silence(1)
		e.Pull(at, take(&out))
		if n := len(out); cut > 0 && n > 0 && out[n-1].At > at {
			r.Fatalf("something sounds at %v, after %v", out[n-1].At, at)
		}
		said := len(out)
		e.Pull(at+time.Minute, take(&out))
		twin.Pull(at+time.Minute, take(&undisturbed))
		for _, ev := range out[said:] {
			if ev.Port == 1 && (ev.IsNote() || ev.Side&expr.Raw != 0) && !clocks(&ev) {
				r.Fatalf("%v came after the silence", ev)
			}
		}
		for port := range uint16(2) {
			if a, b := others(out, port, expr.Raw), others(undisturbed, port, expr.Raw); !slices.Equal(a, b) {
				r.Fatalf("port %d: %q, undisturbed %q", port, a, b)
			}
		}
	})
}

func clocks(ev *expr.Event) bool { return ev.Len == 1 && ev.Msg[0] == expr.TimingClock }

// others lists what is no note nor clock on one side of a port.
func others(events []expr.Event, port uint16, side expr.Side) (list []string) {
	for i := range events {
		if ev := &events[i]; ev.Port == port && ev.Side&side != 0 && !ev.IsNote() && !clocks(ev) {
			list = append(list, string(ev.Bytes()))
		}
	}
	return list
}

// An engine that is given what waits in another goes on where that one stood, and says
// as well when all will have sounded.
func TestManyWaitingGoesOnElsewhere(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := decode(streams().Draw(r, "stream"))
		lookahead := time.Duration(rapid.IntRange(1, 3000).Draw(r, "lookahead")) * exprtest.Thousandth
		e := usual(Config{Ports: 2, Lookahead: lookahead})
		var out, rest []expr.Event
		for _, ev := range in {
			e.Push(ev)
			e.Pull(ev.At, func(ev *expr.Event) { out = append(out, *ev) })
		}
		heir := usual(Config{Ports: 2, Lookahead: lookahead})
		waiting := 0
		e.Waiting(func(ev *expr.Event) { heir.Push(*ev); waiting++ })
		if waiting != len(in)-len(out) {
			r.Fatalf("%d of %d events came out, and %d wait", len(out), len(in), waiting)
		}
		end := e.PlayedOut()
		heir.Pull(end, func(ev *expr.Event) { rest = append(rest, *ev) })
		e.Pull(end, func(ev *expr.Event) { out = append(out, *ev) })
		if len(out) != len(in) {
			r.Fatalf("played out at %v, but %d of %d events have come", end, len(out), len(in))
		}
		for i, ev := range rest {
			if was := out[len(out)-waiting+i]; was.At != ev.At || !slices.Equal(was.Bytes(), ev.Bytes()) {
				r.Fatalf("%v, elsewhere %v", was, ev)
			}
		}
		if len(rest) != waiting {
			r.Fatalf("%d events waited, %d came elsewhere", waiting, len(rest))
		}
	})
}

// Whether the music runs is known also from before a lookahead was asked for.
func TestLookaheadOfMusicUnderWay(t *testing.T) {
	e := usual(Config{Auditions: true})
	e.Push(expr.Short(0, 0, 0xFA))
	if state, why := e.Transport(); state != beat.Runs || why != beat.ClockRuns {
		t.Errorf("after a start it %v: %s", state, why)
	}
	e.SetLookahead(time.Second)
	e.Pull(10*time.Second, func(*expr.Event) {})
	e.Push(expr.Short(10*time.Second, 0, 0x90, 60, 80))
	var sounds time.Duration
	e.Pull(time.Minute, func(ev *expr.Event) { sounds = ev.At })
	if sounds != 11*time.Second {
		t.Errorf("the note sounds at %v, want 11s", sounds)
	}
}
