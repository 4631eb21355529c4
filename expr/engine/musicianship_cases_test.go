package engine

import (
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
)

// only is one pianist among raw channels, with some habits.
func only(t testing.TB, cfg Config, h func(*expr.Profile)) *Engine {
	t.Helper()
	p := exprtest.Piano()
	h(p)
	return assembled(t, cfg, []*expr.Profile{p})
}

var unsteady = exprtest.Unsteady(1, expr.Together{SD: 25 * exprtest.Thousandth})

// A note that is repeated at once is struck on a key that is up, though its player is early
// with it and was late with the one before.
func TestRepeatedNotesDoNotCutEachOther(t *testing.T) {
	var in []expr.Event
	for i := range 200 {
		at := time.Duration(i) * 60 * exprtest.Thousandth
		in = append(in, exprtest.On(at, 60, 80), exprtest.Off(at+60*exprtest.Thousandth, 60))
	}
	out := act(only(t, Config{Lookahead: time.Second}, unsteady), in, nil, 0, longTail)
	struck := checkNotes(t, in, out)[keyAt{0, 0, 60}]
	for i := 1; i < len(struck); i++ {
		if struck[i]-struck[i-1] < shortestNote {
			t.Errorf("struck at %v and at %v", struck[i-1], struck[i])
		}
	}
}

// A pedal that comes just before a note's end holds the note, however early its player is;
// one that comes just after it does not, however late.
func TestPedalAndNoteEndKeepTheirOrder(t *testing.T) {
	var in, want []expr.Event
	for i := range 100 {
		at := time.Duration(i) * 500 * exprtest.Thousandth
		in = append(in, exprtest.On(at, 60, 80), exprtest.CC(at+200*exprtest.Thousandth, expr.CCDamper, markedDown), exprtest.Off(at+201*exprtest.Thousandth, 60),
			exprtest.CC(at+300*exprtest.Thousandth, expr.CCDamper, markedUp), exprtest.On(at+300*exprtest.Thousandth, 62, 80), exprtest.Off(at+400*exprtest.Thousandth, 62), exprtest.CC(at+401*exprtest.Thousandth, expr.CCDamper, markedDown), exprtest.CC(at+450*exprtest.Thousandth, expr.CCDamper, markedUp))
	}
	for _, ev := range in {
		if !ev.IsNoteOn() {
			want = append(want, ev)
		}
	}
	n := 0
	for _, ev := range act(only(t, Config{Lookahead: time.Second, Sides: expr.Shaped}, unsteady), in, nil, 0, longTail) {
		if ev.IsNoteOff() || ev.Msg[0] == 0xB0 && ev.Msg[1] == expr.CCDamper {
			if n == len(want) || ev.Msg != want[n].Msg {
				t.Fatalf("% X comes at %v as number %d, in the place of another", ev.Bytes(), ev.At, n)
			}
			n++
		}
	}
	if n != len(want) {
		t.Errorf("%d of %d came", n, len(want))
	}
}

// When players are to have no time of their own any more, or a part goes back to raw, an end
// still waits for its start that is late.
func TestNoEndBeforeItsStart(t *testing.T) {
	for what, do := range map[string]func(*Engine){
		"no lookahead": func(e *Engine) { e.SetLookahead(0) },
		"raw":          func(e *Engine) { _ = e.Seat(0, 0, nil, 0) },
	} {
		for seed := range uint64(20) {
			var in []expr.Event
			for i := range 40 {
				at := time.Duration(i) * 15 * exprtest.Thousandth
				in = append(in, exprtest.On(at, 60, 80), exprtest.Off(at+10*exprtest.Thousandth, 60))
			}
			t.Run(what, func(t *testing.T) {
				e := only(t, Config{Lookahead: 400 * exprtest.Thousandth, Seed: seed}, exprtest.Unsteady(2, expr.Together{SD: 60 * exprtest.Thousandth}))
				checkNotes(t, in, act(e, in, []deed{{before: 21, do: do}}, 0, longTail))
			})
		}
	}
}

// endsOf counts the note-offs of a key on the shaped side.
func endsOf(out []expr.Event, key byte) (n int) {
	for i := range out {
		if out[i].Side&expr.Shaped != 0 && out[i].IsNoteOff() && out[i].Msg[1] == key {
			n++
		}
	}
	return n
}

// A note is ended once, also where it was drawn over the next one, a pedal caught it then, and
// its key is struck again.
func TestPedalCatchesWhatIsDrawnOver(t *testing.T) {
	h := exprtest.Having("articulation", 1)
	in := []expr.Event{
		exprtest.On(0, 60, 80), exprtest.Off(400*exprtest.Thousandth, 60), exprtest.On(400*exprtest.Thousandth, 62, 80), exprtest.CC(410*exprtest.Thousandth, expr.CCDamper, 127), exprtest.Off(900*exprtest.Thousandth, 62),
		exprtest.On(1500*exprtest.Thousandth, 60, 80), exprtest.Off(1600*exprtest.Thousandth, 60), exprtest.CC(1700*exprtest.Thousandth, expr.CCDamper, 0),
	}
	out := act(only(t, Config{Lookahead: time.Second}, h), in, nil, 0, longTail)
	checkNotes(t, in, out)
	if n := endsOf(out, 60); n != 2 {
		t.Errorf("2 notes are ended %d times", n)
	}
}

// A note that its player ends early is ended once, whatever comes between that and the end that
// came in: a mode message, or another player.
func TestWhatWasEndedEarlyIsNotEndedAgain(t *testing.T) {
	for what, do := range map[string]func(*Engine){
		"all notes off": func(e *Engine) { e.Push(exprtest.CC(300*exprtest.Thousandth, expr.CCNotesOff, 0)) },
		"raw":           func(e *Engine) { _ = e.Seat(0, 0, nil, 0) },
		"nothing":       func(*Engine) {},
	} {
		e := only(t, Config{}, exprtest.Having("articulation", 1))
		e.Load(&expr.Score{Notes: []expr.Written{{Off: 500 * exprtest.Thousandth, Length: 1, Key: 60, Velocity: 80, Marks: expr.Staccato}}, End: 500 * exprtest.Thousandth})
		in := []expr.Event{exprtest.On(0, 60, 80), exprtest.CC(300*exprtest.Thousandth, 10, 64), exprtest.Off(500*exprtest.Thousandth, 60)}
		in[0].Note = 1
		out := act(e, in, []deed{{before: 2, do: func(e *Engine) { e.Pull(300*exprtest.Thousandth, func(*expr.Event) {}); do(e) }}}, 0, longTail)
		if n := endsOf(out, 60); n != 1 {
			t.Errorf("%s: the note is ended %d times:\n%s", what, n, text(out))
		}
	}
}

// A mode message, or another player, has no foot tread on a pedal that the notation holds.
func TestFootHeedsAMarkThatStands(t *testing.T) {
	h := exprtest.Pedalling(1, expr.Pedal{Kind: expr.PianoPedal})
	chords := func(at time.Duration) (in []expr.Event) {
		for i := range 8 {
			for _, key := range []byte{48, 60, 64, 67} {
				in = append(in, exprtest.On(at+time.Duration(i)*500*exprtest.Thousandth, key, 80))
			}
			for _, key := range []byte{48, 60, 64, 67} {
				in = append(in, exprtest.Off(at+time.Duration(i)*500*exprtest.Thousandth+450*exprtest.Thousandth, key))
			}
		}
		return in
	}
	other := exprtest.Piano()
	exprtest.Pedalling(1.5, expr.Pedal{Kind: expr.PianoPedal})(other)
	for what, do := range map[string]func(*Engine){
		"nothing":       func(*Engine) {},
		"all notes off": func(e *Engine) { e.Push(exprtest.CC(5*time.Second, expr.CCNotesOff, 0)) },
		"another":       func(e *Engine) { _ = e.Seat(0, 0, other, 0) },
	} {
		in := append([]expr.Event{exprtest.CC(0, expr.CCDamper, markedDown)}, chords(10*exprtest.Thousandth)...)
		in = append(in, chords(6*time.Second)...)
		t.Run(what, func(t *testing.T) {
			checkPedals(t, act(only(t, Config{}, h), in, []deed{{before: 65, do: do}}, 0, longTail))
		})
	}
	if moved := checkPedals(t, act(only(t, Config{}, h), chords(0), nil, 0, longTail)); moved == 0 {
		t.Error("without a mark the foot does not move: this tests nothing")
	}
}

// Another player may take over at the moment at which the pedal lets go of the last note.
func TestPlayerChangesAsThePedalComesUp(t *testing.T) {
	for _, next := range []*expr.Profile{exprtest.Violins(), exprtest.Plain()} {
		h := exprtest.Pedalling(1, expr.Pedal{Kind: expr.PianoPedal})
		e := only(t, Config{}, h)
		in := []expr.Event{exprtest.On(0, 48, 80), exprtest.On(0, 60, 80), exprtest.On(0, 64, 80), exprtest.On(0, 67, 80), exprtest.Off(2*time.Second, 48), exprtest.Off(2*time.Second, 60), exprtest.Off(2*time.Second, 64), exprtest.Off(2*time.Second, 67)}
		in = append(in, exprtest.On(8*time.Second, 60, 80), exprtest.Off(9*time.Second, 60))
		seat := deed{before: 5, do: func(e *Engine) { _ = e.Seat(0, 0, next, 0) }}
		out := act(e, in, []deed{seat}, 0, longTail)
		checkNotes(t, in, out)
		if moved := checkPedals(t, out); moved == 0 {
			t.Error("the foot does not move: this tests nothing")
		}
		if got := e.parts[0].sampler.profile; next.Amounts.Any() && got != next {
			t.Errorf("%s plays, want %s", got.Name, next.Name)
		}
	}
}

// A note that is taken for a long one of the score does not sound on for long after its end.
func TestWrongNoteOfTheScoreDoesNotHang(t *testing.T) {
	e := only(t, Config{Sides: expr.Shaped}, exprtest.Having("articulation", 1))
	e.Load(&expr.Score{Notes: []expr.Written{
		{On: 0, Off: 8 * time.Second, Length: 16, Key: 60, Velocity: 80, Marks: expr.SlurBegins},
		{On: 10 * time.Second, Off: 11 * time.Second, Beat: 20, Length: 2, Key: 62, Velocity: 80},
	}, End: 11 * time.Second})
	first := exprtest.On(0, 60, 80)
	first.Note = 1
	out := act(e, []expr.Event{first, exprtest.Off(300*exprtest.Thousandth, 60)}, nil, 0, longTail)
	i := slices.IndexFunc(out, func(ev expr.Event) bool { return ev.IsNoteOff() })
	if i < 0 || out[i].At <= 300*exprtest.Thousandth || out[i].At > 500*exprtest.Thousandth {
		t.Errorf("it ends otherwise than a little after 300 ms:\n%s", text(out))
	}
}

// A key that was to call a way of playing when it came in, and is a note when it sounds, is
// ended like one.
func TestKeyswitchThatIsANoteWhenItSounds(t *testing.T) {
	switched := exprtest.Piano()
	unsteady(switched)
	switched.Variants = []expr.Variant{{Name: "short", Keyswitch: 24, Program: -1, Profile: exprtest.Piano()}, {Name: "long", Keyswitch: 25, Program: -1, Profile: exprtest.Piano()}}
	e := assembled(t, Config{Lookahead: time.Second}, []*expr.Profile{switched})
	e.Push(exprtest.On(0, 72, 80))
	if err := e.Seat(0, 0, exprtest.Violins(), 0); err != nil {
		t.Fatal(err)
	}
	e.Push(exprtest.On(0, 24, 80))
	e.Push(exprtest.On(0, 25, 80))
	e.Push(exprtest.Off(100*exprtest.Thousandth, 25))
	e.Pull(longTail, func(*expr.Event) {})
	var keys []byte
	for _, n := range e.parts[0].notes.all {
		keys = append(keys, n.key)
	}
	if !slices.Equal(keys, []byte{72, 24}) {
		t.Errorf("the keys %d sound, want 72 and 24", keys)
	}
}

// Without habits nobody shapes anything.
func TestEngineWithoutRulesIsRaw(t *testing.T) {
	in := performable(compose([]byte(musicianshipSeeds[2].bytes)), true)
	e := assembled(t, Config{Habits: []expr.Habit{}, Lookahead: time.Second, Rubato: 1, Sides: expr.Shaped}, musicians())
	out := act(e, in, nil, 0, longTail)
	if len(in) < 20 || len(out) != len(in) {
		t.Fatalf("%d events in, %d out", len(in), len(out))
	}
	for i := range in {
		if string(in[i].Bytes()) != string(out[i].Bytes()) || out[i].At != in[i].At+time.Second {
			t.Errorf("%v became %v", in[i], out[i])
		}
	}
}
