package engine

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"
	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// seated makes an engine of two ports with a different profile on each of the
// first channels.
func seated(t testing.TB, sides expr.Side) *Engine {
	t.Helper()
	e := usual(Config{Ports: 2, Sides: sides, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB})
	fine := exprtest.Violins()
	fine.Sampler.Level.Fine, fine.Sampler.VibratoDepth.Fine = true, true
	deaf := exprtest.Violins()
	deaf.Sampler.Velocity = nil
	leaving := exprtest.Violins()
	leaving.Sampler.Incoming = expr.Incoming{Level: expr.Leave, Vibrato: expr.Leave}
	for ch, p := range []*expr.Profile{exprtest.Violins(), exprtest.Trumpet(), exprtest.Piano(), exprtest.Bending(), fine, deaf, leaving, exprtest.Plain(), nil} {
		for port := range 2 {
			if err := e.Seat(port, ch, p, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	return e
}

// decode makes a stream of events out of any bytes: it is how both the property
// tests and the fuzzer make music.
func decode(b []byte) []expr.Event {
	var out []expr.Event
	at := time.Duration(0)
	for len(b) >= 4 {
		at += time.Duration(b[0]&0x3F) * 7 * exprtest.Thousandth / 4
		port, status := uint16(b[0]>>6&1), b[1]|0x80
		ev := expr.Short(at, port, status, b[2]&0x7F, b[3]&0x7F)
		switch {
		case status >= 0xF8:
			ev = expr.Short(at, port, status)
		case status == 0xF2:
		case status >= 0xF0:
			ev = expr.Event{At: at, Port: port, Data: []byte{0xF0, b[2] & 0x7F, b[3] & 0x7F, 0xF7}}
		case status&0xF0 == 0xC0 || status&0xF0 == 0xD0:
			ev = expr.Short(at, port, status, b[2]&0x7F)
		case b[0]&0x80 != 0: // notes are what matters most
			ev.Msg[0] = 0x80 | status&0x1F
			ev.Msg[1] = 60 + ev.Msg[1]&7
		}
		out = append(out, ev)
		b = b[4:]
	}
	return out
}

// drive pushes the events and pulls as a clock would, every step; step 0 pulls only at
// each event, and a negative one only at the end.
func drive(e *Engine, in []expr.Event, step, tail time.Duration) []expr.Event {
	var out []expr.Event
	keep := func(ev *expr.Event) { out = append(out, *ev) }
	now := time.Duration(0)
	for _, ev := range in {
		for step > 0 && now+step < ev.At {
			now += step
			e.Pull(now, keep)
		}
		e.Push(ev)
		if step >= 0 {
			e.Pull(ev.At, keep)
		}
	}
	end := tail
	if len(in) > 0 {
		end += in[len(in)-1].At
	}
	e.Pull(end, keep)
	return out
}

func text(events []expr.Event) string {
	var b bytes.Buffer
	for i := range events {
		fmt.Fprintf(&b, "%v %v port %d % X\n", events[i].At, events[i].Side, events[i].Port, events[i].Bytes())
	}
	return b.String()
}

// check asserts what must hold for any stream at all.
func check(t interface{ Fatalf(string, ...any) }, in, out []expr.Event) {
	var raw []expr.Event
	type note struct {
		port uint16
		ch   int
		key  byte
	}
	type tally struct{ on, off int }
	notes := map[note]tally{}
	count := func(events []expr.Event, sign int) {
		for i := range events {
			ev := &events[i]
			if ev.IsNoteOn() || ev.IsNoteOff() {
				k := note{ev.Port, ev.Channel(), ev.Msg[1]}
				n := notes[k]
				if ev.IsNoteOn() {
					n.on += sign
				} else {
					n.off += sign
				}
				notes[k] = n
			}
		}
	}
	var shaped []expr.Event
	last := time.Duration(0)
	for _, ev := range out {
		if ev.At < last {
			t.Fatalf("time runs back from %v to %v", last, ev.At)
		}
		last = ev.At
		if ev.Len > 0 && ev.Msg[0] < 0xF0 && (ev.Msg[1] > 127 || ev.Msg[2] > 127) {
			t.Fatalf("value out of range: % X", ev.Bytes())
		}
		if ev.Side&expr.Raw != 0 {
			raw = append(raw, ev)
		}
		if ev.Side&expr.Shaped != 0 {
			shaped = append(shaped, ev)
		}
	}
	if len(raw) != len(in) {
		t.Fatalf("%d events in, %d raw ones out", len(in), len(raw))
	}
	for i := range in {
		if !bytes.Equal(in[i].Bytes(), raw[i].Bytes()) || in[i].At != raw[i].At || in[i].Port != raw[i].Port {
			t.Fatalf("raw event %d: %v became %v", i, in[i], raw[i])
		}
	}
	count(in, 1)
	count(shaped, -1)
	for k, n := range notes {
		if n != (tally{}) {
			t.Fatalf("%+v: %d note-ons and %d note-offs missing", k, n.on, n.off)
		}
	}
	// What nobody shapes keeps its order within its port.
	for port := uint16(0); port < 2; port++ {
		a, b := passing(in, port), passing(shaped, port)
		if a != b {
			t.Fatalf("port %d: passed messages differ\nin:\n%s\nout:\n%s", port, a, b)
		}
	}
}

// passing lists the messages of a port that no profile may own: all but notes,
// controllers and bends.
func passing(events []expr.Event, port uint16) string {
	var b bytes.Buffer
	for i := range events {
		ev := &events[i]
		if kind := ev.Bytes()[0] & 0xF0; ev.Port == port && (kind == 0xA0 || kind == 0xC0 || kind == 0xD0 || kind == 0xF0) {
			fmt.Fprintf(&b, "% X\n", ev.Bytes())
		}
	}
	return b.String()
}

func streams() *rapid.Generator[[]byte] { return rapid.SliceOfN(rapid.Byte(), 0, 1600) }

func TestManyStreams(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := decode(streams().Draw(rt, "stream"))
		e := seated(t, expr.Both)
		out := drive(e, in, 0, 5*time.Second)
		check(rt, in, out)
		checkFaults(rt, e)

		want := text(out)
		for _, step := range []time.Duration{-1, exprtest.Thousandth, 3333 * time.Microsecond} {
			if got := text(drive(seated(t, expr.Both), in, step, 5*time.Second)); got != want {
				rt.Fatalf("pulled every %v it differs from pulled at each event:\n%s\nand\n%s", step, got, want)
			}
		}
		later := make([]expr.Event, len(in))
		for i, ev := range in {
			ev.At += 12345 * time.Microsecond
			later[i] = ev
		}
		moved := drive(seated(t, expr.Both), later, 0, 5*time.Second)
		for i := range moved {
			moved[i].At -= 12345 * time.Microsecond
		}
		if got := text(moved); got != want {
			rt.Fatalf("a later start changes the music:\n%s\nand\n%s", got, want)
		}
	})
}

func FuzzEngine(f *testing.F) {
	seeds := 0
	for _, s := range []string{
		"\x80\x90\x3c\x50\x8a\x80\x3c\x40",
		"\x80\x91\x3c\x50\x80\x91\x3c\x60\xbf\x81\x3c\x00\xbf\x81\x3c\x00",
		"\x00\xb0\x0b\x40\x80\x90\x01\x40\x3f\xb0\x79\x00\x3f\xb0\x40\x7f\x80\x80\x01\x00\x3f\xb0\x40\x00",
		"\x80\x93\x3c\x50\x3f\xe3\x00\x50\x3f\xb3\x65\x00\x01\xb3\x64\x00\x01\xb3\x06\x0c\xbf\x83\x3c\x00",
	} {
		f.Add([]byte(s))
		seeds++
	}
	if seeds == 0 {
		f.Fatal("no seeds")
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) > 1<<14 {
			return
		}
		in := decode(b)
		e := seated(t, expr.Both)
		out := drive(e, in, 0, 5*time.Second)
		check(t, in, out)
		checkFaults(t, e)
		if whole := drive(seated(t, expr.Both), in, -1, 5*time.Second); text(whole) != text(out) {
			t.Fatal("one push at a time differs from all at once")
		}
	})
}

// spoiled is a habit that fails on one key.
type spoiled struct{}

func (spoiled) About() *expr.About { return &expr.About{Name: "spoiled", Key: "spoiled"} }

func (spoiled) Shape(n *expr.Note, _ *expr.Gesture) bool {
	if n.Key == 66 {
		panic("key 66")
	}
	return true
}

func TestRuleThatPanicsLeavesItsPartRaw(t *testing.T) {
	e := usual(Config{Habits: append(habits.Usual(), spoiled{}), HeadroomDB: 6})
	for ch := range 2 {
		if err := e.Seat(0, ch, exprtest.Violins(), 0); err != nil {
			t.Fatal(err)
		}
	}
	in := []expr.Event{exprtest.On(0, 60, 80), exprtest.Off(500*exprtest.Thousandth, 60), exprtest.On(500*exprtest.Thousandth, 66, 80), exprtest.On(600*exprtest.Thousandth, 67, 81), exprtest.Off(time.Second, 66), exprtest.Off(time.Second, 67)}
	other := expr.Short(550*exprtest.Thousandth, 0, 0x91, 60, 80)
	in = append(in[:3:3], append([]expr.Event{other}, in[3:]...)...)
	out := drive(e, in, 0, time.Second)
	if e.Fault(0, 0) == nil || e.Fault(0, 1) != nil {
		t.Fatalf("faults: %v and %v", e.Fault(0, 0), e.Fault(0, 1))
	}
	var notes, moved int
	level := 0
	for _, ev := range out {
		if ev.IsNoteOn() && ev.Side&expr.Shaped != 0 {
			notes++
		}
		if ev.Side == expr.Shaped && ev.Channel() == 0 && ev.Msg[0] == 0xB0 && ev.Msg[1] == 11 {
			level = int(ev.Msg[2])
			if ev.At > 500*exprtest.Thousandth {
				moved++
			}
		}
		if ev.At > 500*exprtest.Thousandth && ev.Channel() == 0 && ev.IsNoteOn() && ev.Side != expr.Both {
			t.Errorf("still shaped after the fault: %v", ev)
		}
	}
	if notes != 4 {
		t.Errorf("4 notes in, %d out", notes)
	}
	if level != 127 || moved < 1 {
		t.Errorf("expression ends at %d after %d steps, want it back at 127 by steps", level, moved)
	}
	if err := e.Seat(0, 0, exprtest.Violins(), 0); err != nil || e.Fault(0, 0) != nil {
		t.Errorf("a new seat must clear the fault: %v, %v", err, e.Fault(0, 0))
	}
}

// Two voices on one channel: the softer note gets the difference by its velocity, and
// each sounds at its own level.
func TestTwoVoicesOnOneChannel(t *testing.T) {
	p := exprtest.Sustaining("oboes", 0)
	out := shape(t, p, 1, 0, exprtest.On(0, 72, 96), exprtest.On(0, 67, 64))
	var ctl float64
	levels := map[byte]float64{}
	for _, ev := range out {
		if ev.Msg[0] == 0xB0 {
			ctl = p.Sampler.Level.Response.At(float64(ev.Msg[2]))
		} else if ev.IsNoteOn() {
			levels[ev.Msg[1]] = p.Sampler.Velocity.At(float64(ev.Msg[2]))
		}
	}
	exprtest.Near(t, "forte voice", levels[72]+ctl, p.Sampler.Velocity.At(80)-6+4.2, 0.3)
	exprtest.Near(t, "voices apart", levels[72]-levels[67], 8.4, 0.3)
}

func TestOverlappingSamePitch(t *testing.T) {
	out := shape(t, exprtest.Violins(), 1, 3*time.Second, exprtest.On(0, 60, 80), exprtest.On(100*exprtest.Thousandth, 60, 80), exprtest.Off(200*exprtest.Thousandth, 60), exprtest.Off(time.Second, 60))
	ons, offs := 0, 0
	moved := time.Duration(0)
	for _, ev := range out {
		switch {
		case ev.IsNoteOn():
			ons++
		case ev.IsNoteOff():
			offs++
		case ev.Msg[1] == 1 && ev.Msg[2] > 0:
			moved = ev.At
		}
	}
	if ons != 2 || offs != 2 {
		t.Errorf("%d note-ons, %d note-offs", ons, offs)
	}
	if moved < 800*exprtest.Thousandth || moved > time.Second {
		t.Errorf("the second note's vibrato must grow until it ends at 1 s, last moved at %v", moved)
	}
}

func TestPushDoesNotAllocate(t *testing.T) {
	e := seated(t, expr.Both)
	at := time.Duration(0)
	step := func() {
		for ch := byte(0); ch < 9; ch++ {
			e.Push(expr.Short(at, 0, 0x90|ch, 60, 80))
			e.Push(expr.Short(at+50*exprtest.Thousandth, 0, 0xB0|ch, 11, 100))
			e.Push(expr.Short(at+300*exprtest.Thousandth, 0, 0x80|ch, 60, 0))
			at += 300 * exprtest.Thousandth
			e.Pull(at, func(*expr.Event) {})
		}
	}
	for range 20 {
		step()
	}
	if n := testing.AllocsPerRun(100, step); n != 0 {
		t.Errorf("%v allocations a round", n)
	}
}
