package expr

import (
	"testing"
	"time"
)

// plucked is a way of playing the violins without vibrato, by velocity.
func variants() *Profile {
	p := violins()
	pizzicato := piano()
	pizzicato.Name = "pizzicato"
	p.Variants = []Variant{
		{Name: "bowed", Keyswitch: 24, Program: 40, Profile: p},
		{Name: "pizzicato", Keyswitch: 25, Program: 45, Profile: pizzicato},
	}
	return p
}

func controllers(events []Event, number byte, from, to time.Duration) (values []byte) {
	for _, ev := range events {
		if ev.Msg[0]&0xF0 == 0xB0 && ev.Msg[1] == number && ev.At >= from && ev.At < to {
			values = append(values, ev.Msg[2])
		}
	}
	return values
}

func TestVariants(t *testing.T) {
	for name, call := range map[string]func(at time.Duration, pizzicato bool) []Event{
		"keyswitch": func(at time.Duration, pizzicato bool) []Event {
			key := byte(24)
			if pizzicato {
				key = 25
			}
			return []Event{on(at, key, 1), off(at, key)}
		},
		"program": func(at time.Duration, pizzicato bool) []Event {
			program := byte(40)
			if pizzicato {
				program = 45
			}
			return []Event{Short(at, 0, 0xC0, program)}
		},
	} {
		t.Run(name, func(t *testing.T) {
			in := []Event{on(0, 67, 80), off(900*ms, 67)}
			in = append(in, call(time.Second, true)...)
			in = append(in, on(time.Second, 67, 99), off(1900*ms, 67))
			in = append(in, call(2*time.Second, false)...)
			in = append(in, on(2*time.Second, 67, 80), off(2900*ms, 67))
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
				t.Errorf("%d of 2 calls reach the sample player as they came", passed)
			}
		})
	}
}

// A new profile waits until the sounding note has ended, or the next begins.
func TestSeatWaitsForTheNote(t *testing.T) {
	e := NewEngine(Config{Sides: Shaped, HeadroomDB: DefaultHeadroomDB, CeilingDB: DefaultCeilingDB})
	if err := e.Seat(0, 0, violins(), 0); err != nil {
		t.Fatal(err)
	}
	var out []Event
	keep := func(ev *Event) { out = append(out, *ev) }
	e.Push(on(0, 67, 80))
	e.Pull(700*ms, keep)
	straight := violins()
	straight.Vibrato.K = 0
	if err := e.Seat(0, 0, straight, 0); err != nil {
		t.Fatal(err)
	}
	e.Pull(time.Second, keep)
	if v := controllers(out, 1, 700*ms, time.Second); len(v) == 0 || v[len(v)-1] == 0 {
		t.Errorf("the sounding note must go on as it began, its vibrato moved through %v", v)
	}
	e.Push(off(time.Second, 67))
	e.Push(on(1100*ms, 67, 80))
	e.Pull(2*time.Second, keep)
	if v := controllers(out, 1, 1100*ms, 2*time.Second); len(v) != 0 {
		t.Errorf("the next note must be straight, its vibrato moved through %v", v)
	}
	m := NewMeter(1)
	m.Seat(0, 0, violins())
	for i := range out {
		m.Take(&out[i])
	}
	if m.Vibrato(0, 0) != 0 {
		t.Errorf("the vibrato of the old profile stays at %.0f cents", m.Vibrato(0, 0))
	}
}

// What the notation program set up before a part was seated still counts.
func TestSetUpBeforeTheSeat(t *testing.T) {
	e := NewEngine(Config{Sides: Shaped, HeadroomDB: DefaultHeadroomDB, CeilingDB: DefaultCeilingDB})
	e.Push(cc(0, 11, 64))
	p := sustaining("oboe", 0)
	if err := e.Seat(0, 0, p, 0); err != nil {
		t.Fatal(err)
	}
	var out []Event
	e.Push(on(ms, 67, 80))
	e.Pull(time.Second, func(ev *Event) { out = append(out, *ev) })
	near(t, "level", levelAfter(t, p, out, time.Second), StandardLaw().At(80)-DefaultHeadroomDB-11.90, 0.3)
}
