package engine

import (
	"bytes"
	"testing"
	"time"

	"pgregory.net/rapid"
	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// foreseeing makes an engine like seated's whose players have a lookahead.
func foreseeing(t testing.TB, lookahead time.Duration, habits []expr.Habit) *Engine {
	t.Helper()
	e := usual(Config{
		Ports: 2, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB,
		Lookahead: lookahead, Habits: habits, Rubato: 1, Seed: 1,
	})
	for ch, p := range []*expr.Profile{exprtest.Violins(), exprtest.Trumpet(), exprtest.Piano(), exprtest.Bending(), exprtest.Plain()} {
		exprtest.Unsteady(1, expr.Together{SD: 10 * exprtest.Thousandth})(p)
		for port := range 2 {
			if err := e.Seat(port, ch, p, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	return e
}

// The raw side is what came in, later by the lookahead and by nothing else, whatever the
// players do; and no note that waits is lost.
func TestManyLookaheadDelaysRawAlike(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := decode(streams().Draw(r, "stream"))
		lookahead := time.Duration(rapid.IntRange(1, 3000).Draw(r, "lookahead")) * exprtest.Thousandth
		e := foreseeing(t, lookahead, append(habits.Usual(), habits.Together{}, habits.Rubato{}))
		var raw []expr.Event
		notes := 0
		for _, ev := range drive(e, in, 7*exprtest.Thousandth, 10*time.Second) {
			if ev.Side&expr.Raw != 0 {
				raw = append(raw, ev)
			}
			if ev.Side&expr.Shaped != 0 && ev.IsNoteOn() {
				notes++
			}
		}
		if len(raw) != len(in) {
			r.Fatalf("%d events in, %d raw ones out", len(in), len(raw))
		}
		for i := range in {
			if !bytes.Equal(in[i].Bytes(), raw[i].Bytes()) || raw[i].At != in[i].At+lookahead {
				r.Fatalf("raw event %d: %v became %v with lookahead %v", i, in[i], raw[i], lookahead)
			}
			if in[i].IsNoteOn() {
				notes--
			}
		}
		if notes != 0 {
			r.Fatalf("%+d shaped notes", notes)
		}
	})
}

// A change of the lookahead while music plays changes no order, and moves no two events
// apart or together by more than a quarter of the time between them.
func TestLookaheadGlides(t *testing.T) {
	e := foreseeing(t, 0, habits.Usual())
	var out []expr.Event
	keep := func(ev *expr.Event) {
		if ev.Side&expr.Raw != 0 && ev.IsNoteOn() {
			out = append(out, *ev)
		}
	}
	const step = 100 * exprtest.Thousandth
	for i := range 200 {
		at := time.Duration(i) * step
		switch i {
		case 50:
			e.SetLookahead(time.Second)
		case 120:
			e.SetLookahead(200 * exprtest.Thousandth)
		}
		e.Push(expr.Short(at, 0, 0x90, 60, 80))
		e.Pull(at+step-1, keep)
		e.Push(expr.Short(at+step-1, 0, 0x80, 60, 64))
	}
	e.Pull(time.Minute, keep)
	if len(out) != 200 {
		t.Fatalf("%d notes came out of 200", len(out))
	}
	for i := 1; i < len(out); i++ {
		apart := out[i].At - out[i-1].At
		if apart < step*3/4-exprtest.Thousandth || apart > step*5/4+exprtest.Thousandth {
			t.Errorf("notes %d and %d are %v apart, want %v within a quarter", i-1, i, apart, step)
		}
	}
	delay := func(i int) time.Duration { return out[i].At - time.Duration(i)*step }
	if delay(49) != 0 || delay(119) != time.Second || delay(199) != 200*exprtest.Thousandth {
		t.Errorf("the delay went %v, %v, %v; want 0, 1s, 200ms", delay(49), delay(119), delay(199))
	}
}

// Single notes that are tried while the transport stands sound at once; after a start
// everything waits.
func TestAuditionedNotesSoundAtOnce(t *testing.T) {
	e := usual(Config{Lookahead: time.Second, Auditions: true})
	out := drive(e, []expr.Event{
		expr.Short(0, 0, 0x90, 60, 80), expr.Short(300*exprtest.Thousandth, 0, 0x80, 60, 64),
		expr.Short(2900*exprtest.Thousandth, 0, 0x90, 64, 80), expr.Short(3200*exprtest.Thousandth, 0, 0x80, 64, 64),
		expr.Short(6*time.Second, 0, 0xFA),
		expr.Short(6*time.Second+10*exprtest.Thousandth, 0, 0x90, 67, 80), expr.Short(6300*exprtest.Thousandth, 0, 0x80, 67, 64),
	}, 10*exprtest.Thousandth, 3*time.Second)
	want := []time.Duration{0, 300 * exprtest.Thousandth, 2900 * exprtest.Thousandth, 3200 * exprtest.Thousandth, 7 * time.Second, 7*time.Second + 10*exprtest.Thousandth, 7300 * exprtest.Thousandth}
	if len(out) != len(want) {
		t.Fatalf("%d events came out, want %d:\n%s", len(out), len(want), text(out))
	}
	for i := range want {
		if out[i].At != want[i] {
			t.Errorf("event %d sounds at %v, want %v", i, out[i].At, want[i])
		}
	}
}
