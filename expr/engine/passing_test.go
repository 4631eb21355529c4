package engine

import (
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// ranged is a section of violins whose range is known, G3 to G7.
func ranged() *expr.Profile {
	p := exprtest.Violins()
	p.Range = expr.Range{Low: 55, High: 103}
	return p
}

func TestCalls(t *testing.T) {
	p := ranged()
	p.Variants = []expr.Variant{{Name: "short", Keyswitch: 60, Program: -1}}
	for _, c := range []struct {
		key    uint8
		length time.Duration
		want   bool
	}{
		{0, expr.Unknown, true},
		{40, time.Second, true}, // more than an octave and a tone under G3
		{41, time.Second, false},
		{41, 20 * exprtest.Thousandth, true}, // as short as nobody plays there
		{41, expr.Unknown, false},
		{52, 20 * exprtest.Thousandth, true},
		{53, 20 * exprtest.Thousandth, false}, // a tone lower: a string tuned down
		{55, 20 * exprtest.Thousandth, false},
		{103, 20 * exprtest.Thousandth, false},
		{106, 20 * exprtest.Thousandth, true},
		{117, time.Second, false},
		{118, time.Second, true},
		{60, time.Second, true}, // the profile declares it
	} {
		if got := p.Calls(c.key, c.length); got != c.want {
			t.Errorf("Calls(%d, %v) = %v, want %v", c.key, c.length, got, c.want)
		}
	}
	if everywhere := exprtest.Violins(); everywhere.Calls(0, 1) || everywhere.Calls(127, expr.Unknown) {
		t.Error("a profile whose range is not known has keyswitches where it declares none")
	}
}

// Keyswitches that no profile declares come out as they went in, with what else waits, and
// the music is played as if they were not there: at every grade of foreknowledge.
func TestKeyswitchesPass(t *testing.T) {
	music := []expr.Event{exprtest.On(500*exprtest.Thousandth, 67, 80), exprtest.Off(1400*exprtest.Thousandth, 67), exprtest.On(1500*exprtest.Thousandth, 72, 96), exprtest.Off(2400*exprtest.Thousandth, 72), exprtest.On(2500*exprtest.Thousandth, 67, 50), exprtest.Off(3400*exprtest.Thousandth, 67)}
	far := []expr.Event{exprtest.On(480*exprtest.Thousandth, 0, 1), exprtest.Off(490*exprtest.Thousandth, 0), exprtest.On(1490*exprtest.Thousandth, 24, 1), exprtest.Off(1495*exprtest.Thousandth, 24), exprtest.On(2480*exprtest.Thousandth, 2, 127), exprtest.Off(3500*exprtest.Thousandth, 2)}
	near := []expr.Event{exprtest.On(480*exprtest.Thousandth, 50, 1), exprtest.Off(490*exprtest.Thousandth, 50), exprtest.On(1490*exprtest.Thousandth, 45, 1), exprtest.Off(1495*exprtest.Thousandth, 45)}
	for _, c := range []struct {
		name      string
		lookahead time.Duration
		scored    bool
		calls     []expr.Event
	}{
		{"none", 0, false, far},
		{"lookahead", 600 * exprtest.Thousandth, false, far},
		{"score", 0, true, far},
		{"score", 600 * exprtest.Thousandth, true, far},
		{"score, near", 0, true, near},
		{"score, near", 600 * exprtest.Thousandth, true, near},
	} {
		play := func(in []expr.Event) []expr.Event {
			e := assembled(t, Config{Lookahead: c.lookahead}, []*expr.Profile{ranged()})
			in = slices.Clone(in)
			slices.SortStableFunc(in, func(a, b expr.Event) int { return int(a.At - b.At) })
			if c.scored {
				e.Load(scoreOf(in, ranged()))
			}
			out := act(e, in, nil, 0, longTail)
			if got, want := e.Counts(0, 0).Passed, uint64(len(in)-len(music))/2; got != want {
				t.Errorf("%s: %d notes are counted as passed, want %d", c.name, got, want)
			}
			return out
		}
		call := func(ev expr.Event) bool { return (ev.IsNoteOn() || ev.IsNoteOff()) && ev.Msg[1] <= 50 }
		with := play(append(slices.Clone(c.calls), music...))
		for _, side := range []expr.Side{expr.Raw, expr.Shaped} {
			var passed []expr.Event
			for _, ev := range with {
				if call(ev) && ev.Side&side != 0 {
					passed = append(passed, ev)
				}
			}
			if !slices.EqualFunc(passed, c.calls, func(ev, in expr.Event) bool { return ev.Msg == in.Msg && ev.At == in.At+c.lookahead }) {
				t.Errorf("%s, %v: the %v keyswitches are\n%s\nand came in as\n%s", c.name, c.lookahead, side, text(passed), text(c.calls))
			}
		}
		alone := play(music)
		if rest := slices.DeleteFunc(with, call); text(rest) != text(alone) {
			t.Errorf("%s, %v: with keyswitches the music is\n%s\nwithout\n%s", c.name, c.lookahead, text(rest), text(alone))
		}
	}
}

// Where nothing but the length tells a keyswitch, the lookahead shows it.
func TestShortKeyswitchIsSeenAhead(t *testing.T) {
	e := assembled(t, Config{Lookahead: 600 * exprtest.Thousandth}, []*expr.Profile{ranged()})
	out := act(e, []expr.Event{exprtest.On(480*exprtest.Thousandth, 50, 1), exprtest.Off(490*exprtest.Thousandth, 50), exprtest.On(500*exprtest.Thousandth, 67, 80), exprtest.Off(900*exprtest.Thousandth, 67)}, nil, 0, longTail)
	var sides expr.Side
	for _, ev := range out {
		if ev.IsNoteOn() && ev.Msg[1] == 50 && ev.Msg[2] == 1 && ev.At == 1080*exprtest.Thousandth {
			sides |= ev.Side
		}
	}
	if sides != expr.Both {
		t.Errorf("the keyswitch does not come as it went in on both sides:\n%s", text(out))
	}
	if n := e.Counts(0, 0).Passed; n != 1 {
		t.Errorf("%d notes are counted as passed, want 1", n)
	}
}

// scoreOf is the score of a stream for channel 1, and numbers its notes.
func scoreOf(in []expr.Event, p *expr.Profile) *expr.Score {
	s := &expr.Score{End: longTail}
	for i := range in {
		if !in[i].IsNoteOn() {
			continue
		}
		n := expr.Written{On: in[i].At, Key: in[i].Msg[1], Velocity: in[i].Msg[2]}
		j := i + slices.IndexFunc(in[i:], func(ev expr.Event) bool { return ev.IsNoteOff() && ev.Msg[1] == n.Key })
		n.Off = in[j].At
		n.Calls = p.Calls(n.Key, n.Off-n.On)
		s.Notes = append(s.Notes, n)
		in[i].Note = int32(len(s.Notes))
	}
	return s
}
