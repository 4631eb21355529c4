package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/meter"
)

// plucked is a way of playing the violins without vibrato, by velocity.
func variants() *expr.Profile {
	p := exprtest.Violins()
	pizzicato := exprtest.Piano()
	pizzicato.Name = "pizzicato"
	p.Variants = []expr.Variant{
		{Name: "bowed", Keyswitch: 24, Program: 40, Profile: p},
		{Name: "pizzicato", Keyswitch: 25, Program: 45, Profile: pizzicato},
	}
	return p
}

func controllers(events []expr.Event, number byte, from, to time.Duration) (values []byte) {
	for _, ev := range events {
		if ev.Msg[0]&0xF0 == 0xB0 && ev.Msg[1] == number && ev.At >= from && ev.At < to {
			values = append(values, ev.Msg[2])
		}
	}
	return values
}

func TestVariants(t *testing.T) {
	for name, call := range map[string]func(at time.Duration, pizzicato bool) []expr.Event{
		"keyswitch": func(at time.Duration, pizzicato bool) []expr.Event {
			key := byte(24)
			if pizzicato {
				key = 25
			}
			return []expr.Event{exprtest.On(at, key, 1), exprtest.Off(at, key)}
		},
		"program": func(at time.Duration, pizzicato bool) []expr.Event {
			program := byte(40)
			if pizzicato {
				program = 45
			}
			return []expr.Event{expr.Short(at, 0, 0xC0, program)}
		},
	} {
		t.Run(name, func(t *testing.T) {
			in := []expr.Event{exprtest.On(0, 67, 80), exprtest.Off(900*exprtest.Thousandth, 67)}
			in = append(in, call(time.Second, true)...)
			in = append(in, exprtest.On(time.Second, 67, 99), exprtest.Off(1900*exprtest.Thousandth, 67))
			in = append(in, call(2*time.Second, false)...)
			in = append(in, exprtest.On(2*time.Second, 67, 80), exprtest.Off(2900*exprtest.Thousandth, 67))
			out := shape(t, variants(), 0, 3*time.Second, in...)
			vibrato := func(from, to time.Duration) (deepest byte) {
				for _, v := range controllers(out, 1, from, to) {
					deepest = max(deepest, v)
				}
				return deepest
			}
			if vibrato(0, time.Second) == 0 || vibrato(time.Second, 2*time.Second) != 0 || vibrato(2*time.Second, 3*time.Second) == 0 {
				t.Error("vibrato belongs to the bowed notes, and to no other")
			}
			passed := 0
			for _, ev := range out {
				if ev.IsNoteOn() && ev.Msg[1] == 67 && ev.At == time.Second && ev.Msg[2] != 99 {
					t.Errorf("the plucked note keeps its velocity, got %d", ev.Msg[2])
				}
				if ev.IsNoteOn() && ev.Msg[1] < 30 || ev.Msg[0] == 0xC0 {
					passed++
				}
			}
			if passed != 2 {
				t.Errorf("%d of 2 calls reach the sampler as they came", passed)
			}
		})
	}
}

// A new profile waits until the sounding note has ended, or the next begins.
func TestSeatWaitsForTheNote(t *testing.T) {
	e := usual(Config{Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB})
	if err := e.Seat(0, 0, exprtest.Violins(), 0); err != nil {
		t.Fatal(err)
	}
	var out []expr.Event
	keep := func(ev *expr.Event) { out = append(out, *ev) }
	e.Push(exprtest.On(0, 67, 80))
	e.Pull(700*exprtest.Thousandth, keep)
	straight := exprtest.Violins()
	straight.Amounts.Set("vibrato", 0)
	if err := e.Seat(0, 0, straight, 0); err != nil {
		t.Fatal(err)
	}
	e.Pull(time.Second, keep)
	if v := controllers(out, 1, 700*exprtest.Thousandth, time.Second); len(v) == 0 || v[len(v)-1] == 0 {
		t.Errorf("the sounding note must go on as it began, its vibrato moved through %v", v)
	}
	e.Push(exprtest.Off(time.Second, 67))
	e.Push(exprtest.On(1100*exprtest.Thousandth, 67, 80))
	e.Pull(2*time.Second, keep)
	if v := controllers(out, 1, 1100*exprtest.Thousandth, 2*time.Second); len(v) != 0 {
		t.Errorf("the next note must be straight, its vibrato moved through %v", v)
	}
	m := meter.New(1)
	m.Seat(0, 0, exprtest.Violins())
	for i := range out {
		m.Take(&out[i])
	}
	if m.Vibrato(0, 0) != 0 {
		t.Errorf("the vibrato of the old profile stays at %.0f cents", m.Vibrato(0, 0))
	}
}

// What the notation program set up before a part was seated still counts.
func TestSetUpBeforeTheSeat(t *testing.T) {
	e := usual(Config{Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB})
	e.Push(exprtest.CC(0, 11, 64))
	p := exprtest.Sustaining("oboe", 0)
	if err := e.Seat(0, 0, p, 0); err != nil {
		t.Fatal(err)
	}
	var out []expr.Event
	e.Push(exprtest.On(exprtest.Thousandth, 67, 80))
	e.Pull(time.Second, func(ev *expr.Event) { out = append(out, *ev) })
	exprtest.Near(t, "level", levelAfter(t, p, out, time.Second), expr.StandardLaw().At(80)-expr.DefaultHeadroomDB-11.90, 0.3)
}
