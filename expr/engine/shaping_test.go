package engine

import (
	"math"
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
	"swellbox/expr/meter"
)

// usual makes an engine whose players have the usual habits, unless they are given.
func usual(cfg Config) *Engine {
	if cfg.Habits == nil {
		cfg.Habits = habits.Usual()
	}
	return New(cfg)
}

// shape runs one engine over the events and returns what its shaped side emits,
// up to the given time.
func shape(t testing.TB, p *expr.Profile, players int, until time.Duration, in ...expr.Event) []expr.Event {
	t.Helper()
	return run(t, Config{Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB}, p, players, until, in...)
}

func run(t testing.TB, cfg Config, p *expr.Profile, players int, until time.Duration, in ...expr.Event) []expr.Event {
	t.Helper()
	e := usual(cfg)
	if err := e.Seat(0, 0, p, players); err != nil {
		t.Fatal(err)
	}
	var out []expr.Event
	keep := func(ev *expr.Event) { out = append(out, *ev) }
	for _, ev := range in {
		e.Push(ev)
		e.Pull(ev.At, keep)
	}
	e.Pull(until, keep)
	if err := e.Fault(0, 0); err != nil {
		t.Fatal(err)
	}
	return out
}

// levelAfter is the level in dB re full that a meter reads at a time.
func levelAfter(t testing.TB, p *expr.Profile, events []expr.Event, at time.Duration) float64 {
	t.Helper()
	m := meter.New(1)
	m.Seat(0, 0, p)
	for i := range events {
		if events[i].At <= at {
			m.Take(&events[i])
		}
	}
	db, ok := m.Level(0, 0)
	if !ok {
		t.Fatalf("%s: nothing sounds at %v", p.Name, at)
	}
	return db
}

// Rimsky-Korsakov, Principles of Orchestration, ch. I, read as incoherent sums:
// in forte 1 trumpet = 1 trombone = 2 horns and 1 horn = 2 woodwinds, in piano all
// winds about equal. Measured on what the engine sends, through the player's
// response, not on the habit's own numbers.
func TestBrassEquivalences(t *testing.T) {
	woodwind, horn, brass := exprtest.Sustaining("flute", -3.01), exprtest.Sustaining("horn", 0), exprtest.Trumpet()
	level := func(p *expr.Profile, players int, velocity byte) float64 {
		return levelAfter(t, p, shape(t, p, players, 0, exprtest.On(0, 67, velocity)), 0)
	}
	const f, p, tolerance = 96, 49, 0.15 // one step of expression is 0.2 dB here
	exprtest.Near(t, "forte: trumpet and two horns", level(brass, 1, f), level(horn, 2, f), tolerance)
	exprtest.Near(t, "forte: horn and two woodwinds", level(horn, 1, f), level(woodwind, 2, f), tolerance)
	exprtest.Near(t, "forte: trumpet and four woodwinds", level(brass, 1, f), level(woodwind, 4, f), tolerance)
	exprtest.Near(t, "piano: trumpet and woodwind", level(brass, 1, p), level(woodwind, 1, p), 0.5)
	exprtest.Near(t, "piano: horn and woodwind", level(horn, 1, p), level(woodwind, 1, p), 0.5)
	if grown := level(brass, 1, 112) - level(woodwind, 1, 112); grown < 6.02 {
		t.Errorf("in ff a trumpet must lead a woodwind by more than in f, got %.2f dB", grown)
	}
	brass.Amounts.Set("orchestra_weight", 0)
	exprtest.Near(t, "k = 0: trumpet and horn", level(brass, 1, f), level(horn, 1, f), tolerance)
}

func TestLevelFollowsTheCurve(t *testing.T) {
	p := exprtest.Sustaining("oboe", 0)
	for v := byte(16); v <= 127; v++ {
		got := levelAfter(t, p, shape(t, p, 1, 0, exprtest.On(0, 67, v)), 0)
		want := expr.StandardLaw().At(80) - expr.DefaultHeadroomDB + exprtest.Marks.At(float64(v))
		want = math.Min(want, expr.StandardLaw().At(float64(v))+expr.DefaultCeilingDB)
		exprtest.Near(t, "level", got, want, 0.6) // half a step of expression at its lowest value here
	}
}

func TestControllerComesBeforeItsNote(t *testing.T) {
	out := shape(t, exprtest.Sustaining("oboe", 0), 1, 0, exprtest.On(0, 67, 80))
	if len(out) != 2 || out[0].Msg[0] != 0xB0 || out[0].Msg[1] != 11 || !out[1].IsNoteOn() {
		t.Fatalf("want expression and then the note, got %v", out)
	}
}

func TestFourteenBits(t *testing.T) {
	p := exprtest.Sustaining("oboe", 0)
	p.Sampler.Level.Fine = true
	out := shape(t, p, 1, 0, exprtest.On(0, 67, 83))
	if len(out) != 3 || out[0].Msg[1] != 11 || out[1].Msg[1] != 43 {
		t.Fatalf("want MSB, LSB, note; got %v", out)
	}
	want := expr.StandardLaw().At(80) - expr.DefaultHeadroomDB + exprtest.Marks.At(83)
	exprtest.Near(t, "14 bit level", levelAfter(t, p, out, 0), want, 0.005)
}

// A player that does not answer to velocity: the controller carries it all and the
// velocity stays as it came.
func TestPlayerWithoutVelocity(t *testing.T) {
	p := exprtest.Sustaining("cello", 0)
	p.Sampler.Velocity = nil
	p.Sampler.Level.Number = 1
	out := shape(t, p, 1, 0, exprtest.On(0, 48, 96))
	if out[len(out)-1].Msg[2] != 96 {
		t.Errorf("velocity changed: %v", out)
	}
	exprtest.Near(t, "level", levelAfter(t, p, out, 0), expr.StandardLaw().At(80)-expr.DefaultHeadroomDB+4.2, 0.2)
}

func TestPianoKeepsItsVelocities(t *testing.T) {
	for v := byte(1); v <= 127; v++ {
		out := shape(t, exprtest.Piano(), 1, 0, exprtest.On(0, 60, v))
		if got := out[len(out)-1].Msg[2]; got != v {
			t.Errorf("velocity %d became %d", v, got)
		}
		if out[0].Msg[1] != 11 || out[0].Msg[2] != 90 { // 40·log10(90/127) = -5.98 dB, the headroom
			t.Errorf("want expression 90 before the note, got %v", out[0])
		}
	}
}

// A crescendo that the score plays on controller 11 keeps its shape: the level
// moves by 40·log10 of what came in, General MIDI 2.
func TestIncomingCrescendoKeepsItsShape(t *testing.T) {
	p := exprtest.Sustaining("oboe", 0)
	in := []expr.Event{exprtest.CC(0, 11, 64), exprtest.On(0, 67, 80)}
	for i := 1; i <= 63; i++ {
		in = append(in, exprtest.CC(time.Duration(i)*10*exprtest.Thousandth, 11, byte(64+i)))
	}
	out := shape(t, p, 1, time.Second, in...)
	start, end := levelAfter(t, p, out, 0), levelAfter(t, p, out, time.Second)
	exprtest.Near(t, "crescendo from 64 to 127", end-start, 11.90, 0.25)

	p.Sampler.Incoming.Level = expr.Replace
	out = shape(t, p, 1, time.Second, in...)
	exprtest.Near(t, "replaced", levelAfter(t, p, out, time.Second), levelAfter(t, p, out, 0), 0)

	p.Sampler.Incoming.Level = expr.Leave
	out = shape(t, p, 1, time.Second, in...)
	for _, ev := range out {
		if ev.Msg[0] == 0xB0 && ev.Msg[1] == 11 && int(ev.Msg[2]) != 64+int(ev.At/(10*exprtest.Thousandth)) {
			t.Fatalf("left alone, but got %v", ev)
		}
	}
}

func TestNeverAboveTheCeiling(t *testing.T) {
	loud := exprtest.Trumpet()
	loud.Weight.ShareDB = 12
	loud.Amounts.Set("orchestra_weight", 2)
	loud.Amounts.Set("bloom", 2)
	loud.Bloom = expr.Bloom{SwellDB: 6, Swell: 100 * exprtest.Thousandth}
	for v := byte(1); v <= 127; v++ {
		out := shape(t, loud, 1, time.Second, exprtest.On(0, 70, v))
		for _, at := range []time.Duration{0, 50 * exprtest.Thousandth, 100 * exprtest.Thousandth, time.Second} {
			got, limit := levelAfter(t, loud, out, at), expr.StandardLaw().At(float64(v))+expr.DefaultCeilingDB
			if got > limit+1e-9 {
				t.Fatalf("velocity %d at %v: %.2f dB, the ceiling is %.2f", v, at, got, limit)
			}
		}
	}
}

func TestSwellAndDecayMoveTheController(t *testing.T) {
	p := exprtest.Violins()
	out := shape(t, p, 12, 3*time.Second, exprtest.On(0, 67, 80), exprtest.Off(2500*exprtest.Thousandth, 67))
	top := levelAfter(t, p, out, 610*exprtest.Thousandth)
	exprtest.Near(t, "swell", top-levelAfter(t, p, out, 0), 1.5, 0.25)
	exprtest.Near(t, "decay", top-levelAfter(t, p, out, 2400*exprtest.Thousandth), 1, 0.3)
}

// Geringer, Allen and MacLeod 2005: no vibrato for 0.42 s after a slurred change.
// Allen, Geringer and MacLeod 2009: 40 cents in first, 108 in fifth position.
func TestVibrato(t *testing.T) {
	p := exprtest.Violins()
	depth := func(out []expr.Event, at time.Duration) float64 {
		m := meter.New(1)
		m.Seat(0, 0, p)
		for i := range out {
			if out[i].At <= at {
				m.Take(&out[i])
			}
		}
		return m.Vibrato(0, 0)
	}
	long := func(key byte) []expr.Event {
		return shape(t, p, 12, 2*time.Second, exprtest.On(0, key, 80), exprtest.Off(2*time.Second, key))
	}
	low, high := long(56), long(88)
	exprtest.Near(t, "at the start", depth(low, 0), 0, 0)
	exprtest.Near(t, "at 200 ms", depth(low, 200*exprtest.Thousandth), 0, 0)
	exprtest.Near(t, "grown, low", depth(low, time.Second), 40+68.0/33, 0.5)
	exprtest.Near(t, "grown, high, as far as the controller goes", depth(high, time.Second), 100, 0.5)
	exprtest.Near(t, "open string", depth(long(55), time.Second), 0, 0)

	louder := shape(t, p, 12, 2*time.Second, exprtest.On(0, 60, 112))
	if softer := long(60); depth(louder, time.Second) <= depth(softer, time.Second) {
		t.Error("a louder note must have the deeper vibrato")
	}
	short := shape(t, p, 12, time.Second, exprtest.On(0, 60, 80), exprtest.Off(150*exprtest.Thousandth, 60))
	for _, ev := range short {
		if ev.Msg[0] == 0xB0 && ev.Msg[1] == 1 && ev.Msg[2] > 0 {
			t.Fatalf("a short note has vibrato: %v", ev)
		}
	}
	slurred := shape(t, p, 12, 3*time.Second, exprtest.On(0, 60, 80), exprtest.On(time.Second, 62, 80), exprtest.Off(1020*exprtest.Thousandth, 60), exprtest.Off(3*time.Second, 62))
	exprtest.Near(t, "before the slur's change", depth(slurred, 990*exprtest.Thousandth), 40+68*5.0/33, 0.5)
	exprtest.Near(t, "in the gap", depth(slurred, 1210*exprtest.Thousandth), 0, 0.01)
	exprtest.Near(t, "after the gap", depth(slurred, 2100*exprtest.Thousandth), 40+68*7.0/33, 0.5)
}

// The bend-drawn vibrato has the depth and rate asked for, starts downward, lies
// in the range set by RPN 0, and adds to a bend that came in.
func TestVibratoByBend(t *testing.T) {
	p := exprtest.Bending()
	in := []expr.Event{exprtest.On(0, 60, 80), exprtest.Off(3*time.Second, 60)}
	out := shape(t, p, 1, 3*time.Second, in...)
	var rpn []byte
	m := meter.New(1)
	var lowest, highest float64
	var crossings int
	last, first := 0.0, 0.0
	for i := range out {
		ev := &out[i]
		if ev.Msg[0] == 0xB0 && (ev.Msg[1] >= 98 && ev.Msg[1] <= 101 || ev.Msg[1] == 6 || ev.Msg[1] == 38) {
			rpn = append(rpn, ev.Msg[1], ev.Msg[2])
		}
		m.Take(ev)
		if ev.Msg[0] != 0xE0 {
			continue
		}
		cents := m.Bend(0, 0)
		if first == 0 {
			first = cents
		}
		if ev.At > time.Second {
			lowest, highest = math.Min(lowest, cents), math.Max(highest, cents)
			if last < 0 && cents >= 0 {
				crossings++
			}
			last = cents
		}
	}
	if want := []byte{101, 0, 100, 0, 6, 2, 38, 0, 101, 127, 100, 127}; string(rpn) != string(want) {
		t.Errorf("bend range: got %v, want %v", rpn, want)
	}
	want := 40 + 68*5.0/33
	exprtest.Near(t, "peak to peak", highest-lowest, want, 1.5)
	exprtest.Near(t, "cycles in 2 s", float64(crossings), 2*(5.7+0.6*5/33), 1)
	if first > 0 {
		t.Errorf("starts upward, by %.2f cents", first)
	}

	bent := shape(t, p, 1, 100*exprtest.Thousandth, expr.Short(0, 0, 0xE0, 0, 96), exprtest.On(0, 60, 80), expr.Short(50*exprtest.Thousandth, 0, 0xE0, 0, 80))
	m = meter.New(1)
	for i := range bent {
		m.Take(&bent[i])
	}
	exprtest.Near(t, "the bend that came in", m.Bend(0, 0), 50, 0.1)
}

func TestBrightnessRisesWithLevel(t *testing.T) {
	p := exprtest.Trumpet()
	last := -1
	for _, v := range []byte{33, 49, 64, 80, 96, 112} {
		for _, ev := range shape(t, p, 1, 0, exprtest.On(0, 67, v)) {
			if ev.Msg[0] == 0xB0 && ev.Msg[1] == 74 {
				if int(ev.Msg[2]) <= last {
					t.Errorf("velocity %d: brightness %d after %d", v, ev.Msg[2], last)
				}
				last = int(ev.Msg[2])
			}
		}
	}
	if last < 80 {
		t.Errorf("ff is hardly brighter than mf (64): %d", last)
	}
}

// Reset all controllers makes expression full in the player (RP-015): ours is said again.
func TestResetAllControllers(t *testing.T) {
	p := exprtest.Violins()
	out := shape(t, p, 12, time.Second, exprtest.On(0, 60, 49), exprtest.CC(900*exprtest.Thousandth, 121, 0))
	before, after := levelAfter(t, p, out, 890*exprtest.Thousandth), levelAfter(t, p, out, time.Second)
	exprtest.Near(t, "level after a reset", after, before, 0.4)
}

// Until the level is said again the sampler sounds at full, so nothing is said before it: no pedal
// lifted, no vibrato.
func TestResetSaysTheLevelFirst(t *testing.T) {
	p := musicians()[8] // a piano, whose foot is the engine's own
	in := []expr.Event{exprtest.CC(0, 11, 60)}
	for i, key := range []uint8{48, 55, 60, 64, 48, 55, 60, 64} {
		at := time.Duration(i) * 250 * exprtest.Thousandth
		in = append(in, exprtest.On(at, key, 40), exprtest.Off(at+200*exprtest.Thousandth, key))
	}
	in = append(in, exprtest.CC(1900*exprtest.Thousandth, expr.CCReset, 0))
	out := shape(t, p, 1, 3*time.Second, in...)
	at := slices.IndexFunc(out, func(e expr.Event) bool { return e.Msg[0] == 0xB0 && e.Msg[1] == expr.CCReset })
	if at < 0 || at+2 >= len(out) {
		t.Fatalf("the reset is number %d of %d events", at, len(out))
	}
	if !slices.ContainsFunc(out[:at], func(e expr.Event) bool { return e.Msg[0] == 0xB0 && e.Msg[1] == expr.CCDamper && e.Msg[2] >= 64 }) {
		t.Fatal("the foot is never down")
	}
	if next := out[at+1]; int(next.Msg[1]) != p.Sampler.Level.Number {
		t.Errorf("after the reset comes % X, and then % X", next.Bytes(), out[at+2].Bytes())
	}
}

func TestRulesOffIsRaw(t *testing.T) {
	in := []expr.Event{exprtest.CC(0, 11, 90), exprtest.On(0, 60, 80), exprtest.CC(5*exprtest.Thousandth, 1, 20), exprtest.On(10*exprtest.Thousandth, 64, 30), expr.Short(11*exprtest.Thousandth, 0, 0xE0, 1, 2), exprtest.Off(500*exprtest.Thousandth, 60), exprtest.Off(500*exprtest.Thousandth, 64)}
	out := shape(t, exprtest.Plain(), 12, time.Second, in...)
	if len(out) != len(in) {
		t.Fatalf("%d events in, %d out", len(in), len(out))
	}
	for i := range in {
		if out[i].Msg != in[i].Msg || out[i].At != in[i].At {
			t.Errorf("event %d: %v became %v", i, in[i], out[i])
		}
	}
}
