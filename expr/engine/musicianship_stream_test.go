package engine

import (
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"

	"pgregory.net/rapid"
)

// musicians is an ensemble with every habit on: on two ports, ten ways of playing, a raw
// channel, and a plain one.
func musicians() []*expr.Profile {
	fine, deaf, leaving := exprtest.Violins(), exprtest.Violins(), exprtest.Violins()
	fine.Sampler.Level.Fine, fine.Sampler.VibratoDepth.Fine = true, true
	deaf.Sampler.Velocity = nil
	leaving.Sampler.Incoming = expr.Incoming{Level: expr.Leave, Vibrato: expr.Leave}
	all := []*expr.Profile{exprtest.Violins(), exprtest.Trumpet(), exprtest.Piano(), exprtest.Bending(), fine, deaf, leaving, exprtest.Piano(), exprtest.Piano(), exprtest.Piano()}
	pedals := []struct {
		amount float64
		pedal  expr.Pedal
	}{
		2: {1, expr.Pedal{Kind: expr.PianoPedal, Half: true}}, 7: {1, expr.Pedal{Kind: expr.HarpDamping}},
		8: {2, expr.Pedal{Kind: expr.CelestaPedal}}, 9: {1, expr.Pedal{Kind: expr.BarPedal}},
	}
	for i, p := range all {
		exprtest.Musical(1, habits.All())(p)
		p.Breath.Bow = i%2 == 0
		exprtest.Unsteady(1, expr.Together{SD: 20 * exprtest.Thousandth, Chord: 10 * exprtest.Thousandth, Hammer: pedals[i].amount > 0})(p)
		exprtest.Pedalling(pedals[i].amount, pedals[i].pedal)(p)
	}
	return append(all, exprtest.Plain(), nil)
}

// assembled seats musicians on both ports of an engine.
func assembled(t testing.TB, cfg Config, profiles []*expr.Profile) *Engine {
	t.Helper()
	cfg.Ports, cfg.HeadroomDB, cfg.CeilingDB = 2, expr.DefaultHeadroomDB, expr.DefaultCeilingDB
	e := usual(cfg)
	for ch, p := range profiles {
		for port := range 2 {
			if err := e.Seat(port, ch, p, 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	return e
}

// keyAt is a key of a channel of a port.
type keyAt struct {
	port uint16
	ch   int
	key  byte
}

func keyOfEvent(ev *expr.Event) keyAt { return keyAt{ev.Port, ev.Channel(), ev.Msg[1]} }

// tunes are bytes to [compose] of: in part such as can be made simple, which rapid draws mostly
// small, in part of all sizes alike.
func tunes() *rapid.Generator[[]byte] {
	return rapid.OneOf(
		rapid.SliceOfN(rapid.Byte(), 1, 600),
		rapid.Custom(func(t *rapid.T) []byte {
			rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "tune"), 0))
			b := make([]byte, rapid.IntRange(1, 900).Draw(t, "length"))
			for i := range b {
				b[i] = byte(rng.Uint32())
			}
			return b
		}),
	)
}

// compose makes music out of any bytes, for a few channels of an ensemble: more like what is
// written than [decode]'s, with notes that are repeated, joined and held, chords, and marks.
func compose(b []byte) (out []expr.Event) {
	if len(b) == 0 {
		return nil
	}
	channels := [3]byte{b[0] % 12, b[0] / 12 % 12, b[0] / 7 % 12}
	at := time.Duration(0)
	for b = b[1:]; len(b) >= 3; b = b[3:] {
		step := time.Duration(b[0] & 0x1F)
		at += step * step * exprtest.Thousandth / 2
		port := uint16(0)
		if b[1]&0xE0 == 0 {
			port = 1
		}
		ch, key, value := channels[b[1]>>2&7%3], 60+b[1]&3, b[2]&0x7F
		say := func(status, d1, d2 byte) { out = append(out, expr.Short(at, port, status|ch, d1, d2)) }
		switch b[0] >> 5 {
		case 0, 1, 2:
			say(0x90, key, max(value, 1))
		case 3, 4:
			say(0x80, key, value)
		case 5: // joined or repeated
			say(0x80, 60+b[1]>>2&3, 64)
			say(0x80, key, 64)
			say(0x90, key, max(value, 1))
		case 6:
			say(0xB0, expr.CCDamper, value)
		case 7:
			switch numbers := [...]byte{1, 7, 11, 43, 6, 100, 101, expr.CCSoundOff, expr.CCReset, expr.CCNotesOff, 10}; {
			case int(key-60)+int(value>>5)*4 < len(numbers):
				say(0xB0, numbers[int(key-60)+int(value>>5)*4], value)
			case value&1 == 0:
				out = append(out, expr.Short(at, port, 0xC0|ch, value))
			case value&2 == 0:
				say(0xE0, value, key)
			default:
				out = append(out, expr.Short(at, 0, expr.TimingClock))
			}
		}
	}
	return out
}

// What a notation program's own pedal marks are in these tests, so that they can be told from
// an engine's, which are 0, 64 and 127.
const (
	markedUp   = 1
	markedDown = 126
)

// performable makes a stream one that a notation program could send: each note has one
// end, and no key is struck that is down. Pedal marks can be told from the engine's. With
// levels left out, no controller moves a level but ours, and none ends a note.
func performable(in []expr.Event, levels bool) []expr.Event {
	down := map[keyAt]bool{}
	var order []keyAt // of the notes that are down, and some that were
	var out []expr.Event
	at := time.Duration(0)
	for _, ev := range in {
		at = ev.At
		switch {
		case ev.IsNoteOn():
			k := keyOfEvent(&ev)
			if down[k] {
				continue
			}
			down[k] = true
			order = append(order, k)
		case ev.IsNoteOff():
			k := keyOfEvent(&ev)
			if !down[k] {
				continue
			}
			down[k] = false
		case ev.IsChannel() && ev.Msg[0]&0xF0 == 0xB0:
			switch {
			case ev.Msg[1] == expr.CCDamper && ev.Msg[2] >= 64:
				ev.Msg[2] = markedDown
			case ev.Msg[1] == expr.CCDamper:
				ev.Msg[2] = markedUp
			case !levels && (ev.Msg[1] == 7 || ev.Msg[1] == 11 || ev.Msg[1] == expr.CCSoundOff || ev.Msg[1] >= expr.CCNotesOff):
				ev.Msg[1] = 10
			}
		}
		out = append(out, ev)
	}
	for _, k := range order {
		if down[k] {
			down[k] = false
			at += exprtest.Thousandth
			out = append(out, expr.Short(at, k.port, 0x80|byte(k.ch), k.key, 64))
		}
	}
	return out
}

// written makes a score of a stream, a part for each channel, and tells each note-on which
// of its notes it is. The stream must be performable.
func written(in []expr.Event) *expr.Score {
	s := &expr.Score{}
	open := map[keyAt]int{}
	for i := range in {
		ev := &in[i]
		switch {
		case ev.IsNoteOn():
			open[keyOfEvent(ev)] = len(s.Notes)
			s.Notes = append(s.Notes, expr.Written{
				On: ev.At, Beat: 2 * ev.At.Seconds(), Part: uint16(int(ev.Port)*16 + ev.Channel()), Port: ev.Port,
				Channel: uint8(ev.Channel()), Key: ev.Msg[1], Velocity: ev.Msg[2], Staff: 1,
				Marks: expr.Marks(ev.Msg[2]*37) & (expr.Staccato | expr.Tenuto | expr.SlurBegins | expr.SlurGoesOn | expr.BreathAfter | expr.Louder),
			})
			ev.Note = int32(len(s.Notes))
		case ev.IsNoteOff():
			n := &s.Notes[open[keyOfEvent(ev)]]
			n.Off, n.Length = ev.At, 2*(ev.At-n.On).Seconds()
		}
		s.End = ev.At
	}
	for beat := 0.0; beat <= 2*s.End.Seconds(); beat += 4 {
		s.Bars = append(s.Bars, expr.Bar{At: time.Duration(beat / 2 * float64(time.Second)), Beat: beat, Number: len(s.Bars) + 1, Beats: 4, Unit: 4})
	}
	return s
}

// deed is what is done to an engine before the event of a number comes.
type deed struct {
	before int
	what   string
	do     func(*Engine)
}

// act drives an engine as [drive] does, and does deeds meanwhile.
func act(e *Engine, in []expr.Event, deeds []deed, step, tail time.Duration) []expr.Event {
	var out []expr.Event
	keep := func(ev *expr.Event) { out = append(out, *ev) }
	now := time.Duration(0)
	for i, ev := range in {
		for step > 0 && now+step < ev.At {
			now += step
			e.Pull(now, keep)
		}
		if len(deeds) > 0 && step >= 0 {
			e.Pull(ev.At, keep)
		}
		for _, d := range deeds {
			if d.before == i {
				d.do(e)
			}
		}
		e.Push(ev)
		if step >= 0 {
			e.Pull(ev.At, keep)
		}
	}
	if len(in) > 0 {
		tail += in[len(in)-1].At
	}
	e.Pull(tail, keep)
	return out
}

// failing is what the checks report to: a test, a fuzz test or a property.
type failing interface{ Fatalf(string, ...any) }

// checkRaw asserts that the raw side is what came in, all of it later by the lookahead.
func checkRaw(t failing, in, out []expr.Event, lookahead time.Duration) {
	i := 0
	for _, ev := range out {
		if ev.Side&expr.Raw == 0 {
			continue
		}
		if i == len(in) {
			t.Fatalf("more raw events came out than the %d that came in", len(in))
		}
		if a, b := in[i].Bytes(), ev.Bytes(); string(a) != string(b) || ev.At != in[i].At+lookahead || ev.Port != in[i].Port {
			t.Fatalf("raw event %d: % X at %v came out as % X at %v with lookahead %v", i, a, in[i].At, b, ev.At, lookahead)
		}
		i++
	}
	if i != len(in) {
		t.Fatalf("%d events in, %d raw ones out", len(in), i)
	}
}

// checkNotes asserts that the shaped side of a performable stream is one: that time does not
// run back, and that each note that came in sounds once, is struck on a key that is up, and
// ends once. It returns when each key was struck.
func checkNotes(t failing, in, out []expr.Event) map[keyAt][]time.Duration {
	struck := map[keyAt][]time.Duration{}
	due := map[keyAt]int{}
	for i := range in {
		if in[i].IsNoteOn() {
			due[keyOfEvent(&in[i])]++
		}
	}
	down := map[keyAt]bool{}
	last := time.Duration(0)
	for i := range out {
		ev := &out[i]
		if ev.At < last {
			t.Fatalf("time runs back from %v to %v", last, ev.At)
		}
		last = ev.At
		if ev.Side&expr.Shaped == 0 || !ev.IsNote() {
			continue
		}
		k := keyOfEvent(ev)
		if ev.IsNoteOn() == down[k] {
			t.Fatalf("%+v: % X at %v while the key is down: %v", k, ev.Bytes(), ev.At, down[k])
		}
		down[k] = ev.IsNoteOn()
		if down[k] {
			struck[k] = append(struck[k], ev.At)
		}
	}
	for k, n := range due {
		if len(struck[k]) != n || down[k] {
			t.Fatalf("%+v: %d notes in, %d out, down at the end: %v", k, n, len(struck[k]), down[k])
		}
	}
	return struck
}
