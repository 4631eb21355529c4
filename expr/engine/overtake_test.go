package engine

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// byChannel sorts what came out into what each channel said, in its order; what belongs to none
// stands last.
func byChannel(out []expr.Event) (said [33][]expr.Event) {
	for _, ev := range out {
		i := 32
		if ev.IsChannel() {
			i = int(ev.Port)*16 + ev.Channel()
		}
		said[i] = append(said[i], ev)
	}
	return said
}

// However late the movement of the other parts comes to its turn, each channel says the same at the
// same times as if nothing had overtaken anything.
func TestManyOvertake(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		in := performable(compose(tunes().Draw(r, "tune")), true)
		cfg := anyFuture(r)
		if rapid.IntRange(0, 3).Draw(r, "now") > 0 {
			cfg.Lookahead = 0 // else it is a push
		}
		pushed, overtaking := assembled(t, cfg, musicians()), assembled(t, cfg, musicians())
		if rapid.Bool().Draw(r, "has a score") {
			s := written(in)
			pushed.Load(s)
			overtaking.Load(s)
		}
		want := act(pushed, in, nil, 0, longTail)
		late := time.Duration(rapid.IntRange(0, 400).Draw(r, "late")) * exprtest.Thousandth
		var got []expr.Event
		keep := func(ev *expr.Event) { got = append(got, *ev) }
		pulled := time.Duration(0)
		for _, ev := range in {
			if !overtaking.Overtake(ev) {
				overtaking.Push(ev)
			}
			overtaking.Ready(ev.At, keep)
			if ev.At >= pulled+late {
				overtaking.Pull(ev.At, keep)
				pulled = ev.At
			}
		}
		if len(in) > 0 {
			pulled = in[len(in)-1].At
		}
		overtaking.Pull(pulled+longTail, keep)
		checkFaults(r, overtaking)
		was, is := byChannel(want), byChannel(got)
		for i := range was {
			for j := range max(len(was[i]), len(is[i])) {
				if j >= len(was[i]) || j >= len(is[i]) {
					r.Fatalf("channel %d says %d messages, %d after overtaking", i, len(was[i]), len(is[i]))
				}
				if a, b := &was[i][j], &is[i][j]; a.At != b.At || a.Side != b.Side || !slices.Equal(a.Bytes(), b.Bytes()) {
					r.Fatalf("channel %d, message %d: %v, after overtaking %v", i, j, a, b)
				}
			}
		}
	})
}

// A note is said before the movement that other parts owe, and after its own part's.
func TestOvertakes(t *testing.T) {
	e := assembled(t, Config{}, []*expr.Profile{musicians()[0], musicians()[0]})
	e.Push(exprtest.On(0, 67, 80))
	other := exprtest.On(0, 72, 80)
	other.Msg[0] |= 1
	e.Push(other)
	e.Pull(0, func(*expr.Event) {})
	const at = 600 * exprtest.Thousandth // while both vibrate
	if !e.Overtake(exprtest.Off(at, 67)) {
		t.Fatal("nothing is overtaken")
	}
	var said, owed []int
	e.Ready(at, func(ev *expr.Event) { said = append(said, ev.Channel()) })
	e.Pull(at, func(ev *expr.Event) { owed = append(owed, ev.Channel()) })
	if len(said) < 2 || slices.Contains(said, 1) {
		t.Errorf("the channels %v speak before the end of a note on channel 0 and with it", said)
	}
	if len(owed) == 0 || slices.Contains(owed, 0) {
		t.Errorf("the channels %v speak after it", owed)
	}
}
