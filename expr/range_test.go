package expr

import (
	"slices"
	"testing"
	"time"
)

// ranged is a section of violins whose range is known, G3 to G7.
func ranged() *Profile {
	p := violins()
	p.Range = Range{55, 103}
	return p
}

func TestCalls(t *testing.T) {
	p := ranged()
	p.Variants = []Variant{{Name: "short", Keyswitch: 60, Program: -1}}
	for _, c := range []struct {
		key    uint8
		length time.Duration
		want   bool
	}{
		{0, Unknown, true},
		{40, time.Second, true}, // more than an octave and a tone under G3
		{41, time.Second, false},
		{41, 20 * ms, true}, // as short as nobody plays there
		{41, Unknown, false},
		{52, 20 * ms, true},
		{53, 20 * ms, false}, // a tone lower: a string tuned down
		{55, 20 * ms, false},
		{103, 20 * ms, false},
		{106, 20 * ms, true},
		{117, time.Second, false},
		{118, time.Second, true},
		{60, time.Second, true}, // the profile declares it
	} {
		if got := p.Calls(c.key, c.length); got != c.want {
			t.Errorf("Calls(%d, %v) = %v, want %v", c.key, c.length, got, c.want)
		}
	}
	if everywhere := violins(); everywhere.Calls(0, 1) || everywhere.Calls(127, Unknown) {
		t.Error("a profile whose range is not known has keyswitches where it declares none")
	}
}

// Keyswitches that no profile declares come out as they went in, with what else waits, and
// the music is played as if they were not there: at every grade of foreknowledge.
func TestKeyswitchesPass(t *testing.T) {
	music := []Event{on(500*ms, 67, 80), off(1400*ms, 67), on(1500*ms, 72, 96), off(2400*ms, 72), on(2500*ms, 67, 50), off(3400*ms, 67)}
	far := []Event{on(480*ms, 0, 1), off(490*ms, 0), on(1490*ms, 24, 1), off(1495*ms, 24), on(2480*ms, 2, 127), off(3500*ms, 2)}
	near := []Event{on(480*ms, 50, 1), off(490*ms, 50), on(1490*ms, 45, 1), off(1495*ms, 45)}
	for _, c := range []struct {
		name      string
		lookahead time.Duration
		scored    bool
		calls     []Event
	}{
		{"none", 0, false, far},
		{"lookahead", 600 * ms, false, far},
		{"score", 0, true, far},
		{"score", 600 * ms, true, far},
		{"score, near", 0, true, near},
		{"score, near", 600 * ms, true, near},
	} {
		play := func(in []Event) []Event {
			e := assembled(t, Config{Lookahead: c.lookahead}, []*Profile{ranged()})
			in = slices.Clone(in)
			slices.SortStableFunc(in, func(a, b Event) int { return int(a.At - b.At) })
			if c.scored {
				e.Load(scoreOf(in, ranged()))
			}
			out := act(e, in, nil, 0, longTail)
			if got, want := e.Counts(0, 0).Passed, uint64(len(in)-len(music))/2; got != want {
				t.Errorf("%s: %d notes are counted as passed, want %d", c.name, got, want)
			}
			return out
		}
		call := func(ev Event) bool { return (ev.IsNoteOn() || ev.IsNoteOff()) && ev.Msg[1] <= 50 }
		with := play(append(slices.Clone(c.calls), music...))
		for _, side := range []Side{Raw, Shaped} {
			var passed []Event
			for _, ev := range with {
				if call(ev) && ev.Side&side != 0 {
					passed = append(passed, ev)
				}
			}
			if !slices.EqualFunc(passed, c.calls, func(ev, in Event) bool { return ev.Msg == in.Msg && ev.At == in.At+c.lookahead }) {
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
	e := assembled(t, Config{Lookahead: 600 * ms}, []*Profile{ranged()})
	out := act(e, []Event{on(480*ms, 50, 1), off(490*ms, 50), on(500*ms, 67, 80), off(900*ms, 67)}, nil, 0, longTail)
	var sides Side
	for _, ev := range out {
		if ev.IsNoteOn() && ev.Msg[1] == 50 && ev.Msg[2] == 1 && ev.At == 1080*ms {
			sides |= ev.Side
		}
	}
	if sides != Both {
		t.Errorf("the keyswitch does not come as it went in on both sides:\n%s", text(out))
	}
	if n := e.Counts(0, 0).Passed; n != 1 {
		t.Errorf("%d notes are counted as passed, want 1", n)
	}
}

// scoreOf is the score of a stream for channel 1, and numbers its notes.
func scoreOf(in []Event, p *Profile) *Score {
	s := &Score{End: longTail}
	for i := range in {
		if !in[i].IsNoteOn() {
			continue
		}
		n := Written{On: in[i].At, Key: in[i].Msg[1], Velocity: in[i].Msg[2]}
		j := i + slices.IndexFunc(in[i:], func(ev Event) bool { return ev.IsNoteOff() && ev.Msg[1] == n.Key })
		n.Off = in[j].At
		n.Calls = p.Calls(n.Key, n.Off-n.On)
		s.Notes = append(s.Notes, n)
		in[i].Note = int32(len(s.Notes))
	}
	return s
}
