package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/exprtest"
)

// inHall is a profile of an instrument that the model knows, on its usual note.
func inHall(t testing.TB, name string) *expr.Profile {
	t.Helper()
	in, ok := acoustics.Lookup(name)
	if !ok {
		t.Fatalf("the model does not know %q", name)
	}
	p := exprtest.Sustaining(name, 0)
	p.Instrument = in
	p.Players = in.Players
	return p
}

// Rimsky-Korsakov, Principles of Orchestration, ch. I, read as incoherent sums, for
// what the engine sends in a hall, through the player's response: in forte 1
// trumpet = 1 trombone = 1 tuba = 2 horns, 1 horn = 2 flutes = 2 oboes = 2 clarinets =
// 2 bassoons; in piano all winds about equal; a department of strings = 1 wind in
// piano, 2 woodwinds in forte. 1 dB is allowed, the just noticeable difference.
func TestEquivalencesInTheHall(t *testing.T) {
	level := func(name string, players int, velocity byte) float64 {
		p := inHall(t, name)
		p.Sampler.Measured = &expr.Measured{} // by whom equal numbers are equally strong to the ear
		return levelAfter(t, p, shape(t, p, players, 0, exprtest.On(0, 60, velocity)), 0)
	}
	const f, p, tolerance = 96, 49, 1.0
	for _, brass := range []string{"trombone", "tuba"} {
		exprtest.Near(t, "forte: trumpet and "+brass, level("trumpet", 1, f), level(brass, 1, f), tolerance)
	}
	exprtest.Near(t, "forte: trumpet and two horns", level("trumpet", 1, f), level("horn", 2, f), tolerance)
	for _, wood := range []string{"flute", "oboe", "clarinet", "bassoon"} {
		exprtest.Near(t, "forte: horn and two of "+wood, level("horn", 1, f), level(wood, 2, f), tolerance)
		exprtest.Near(t, "piano: horn and "+wood, level("horn", 1, p), level(wood, 1, p), tolerance)
		exprtest.Near(t, "piano: trumpet and "+wood, level("trumpet", 1, p), level(wood, 1, p), tolerance)
	}
	for _, strings := range []string{"violins-1", "violas", "cellos", "double-basses"} {
		exprtest.Near(t, "forte: two flutes and "+strings, level("flute", 2, f), level(strings, 0, f), tolerance)
		exprtest.Near(t, "piano: flute and "+strings, level("flute", 1, p), level(strings, 0, p), tolerance)
	}
}

// In its low register the flute is weak, and the hall does not lift it.
func TestLowFluteStaysWeak(t *testing.T) {
	p := inHall(t, "flute")
	p.Weight.Registers = 1
	at := func(key byte) float64 { return levelAfter(t, p, shape(t, p, 1, 0, exprtest.On(0, key, 80)), 0) }
	if low, high := at(60), at(84); high-low < 6 {
		t.Errorf("C4 sounds at %.1f dB, C6 at %.1f; the low register must be 6 dB weaker at least", low, high)
	}
	p.Weight.Registers = 0
	exprtest.Near(t, "without registers", at(60), at(84), 0.3)
}

// In a studio each part is as loud as its own mark; a switch of the place in
// mid-note moves there by at most 5 dB a step of 20 ms, and back.
func TestPlaces(t *testing.T) {
	p := inHall(t, "trumpet")
	e := usual(Config{Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB})
	if err := e.Seat(0, 0, p, 0); err != nil {
		t.Fatal(err)
	}
	var out []expr.Event
	keep := func(ev *expr.Event) { out = append(out, *ev) }
	e.Push(exprtest.On(0, 67, 112))
	e.Pull(500*exprtest.Thousandth, keep)
	hall := levelAfter(t, p, out, 500*exprtest.Thousandth)
	e.Stand(0, 0, Standing{Place: expr.Studio})
	e.Pull(time.Second, keep)
	studio := levelAfter(t, p, out, time.Second)
	e.Stand(0, 0, Standing{Place: expr.Hall})
	e.Pull(1500*exprtest.Thousandth, keep)
	exprtest.Near(t, "studio, ff", studio, expr.StandardLaw().At(80)-expr.DefaultHeadroomDB+8, 0.3)
	exprtest.Near(t, "back in the hall", levelAfter(t, p, out, 1500*exprtest.Thousandth), hall, 0.2)
	if hall == studio {
		t.Error("the places do not differ")
	}
	last := 0.0
	for i, ev := range out {
		if ev.Msg[0] != 0xB0 || ev.Msg[1] != 11 {
			continue
		}
		db := p.Sampler.Level.Response.At(float64(ev.Msg[2]))
		if i > 0 && ev.At > 0 && (db-last > 5.2 || last-db > 5.2) {
			t.Errorf("at %v the level jumps from %.1f to %.1f dB", ev.At, last, db)
		}
		last = db
	}
	e.Stand(9, 99, Standing{Place: expr.Studio}) // not there: nothing happens
	if e.Standing(0, 0).Place != expr.Hall {
		t.Errorf("the place is %v", e.Standing(0, 0).Place)
	}
}

// What velocity carries keeps its stroke in the hall: the controller carries the weight.
func TestPianoKeepsItsStrokeInTheHall(t *testing.T) {
	p := exprtest.Piano()
	p.Instrument, _ = acoustics.Lookup("piano")
	p.Amounts.Set("orchestra_weight", 1)
	for v := byte(40); v <= 112; v += 8 {
		out := shape(t, p, 1, 0, exprtest.On(0, 60, v))
		got := out[len(out)-1].Msg[2]
		if got < v-1 || got > v+1 {
			t.Errorf("velocity %d became %d", v, got)
		}
	}
}

// Another seat is louder or softer in the hall by as much as is said, nothing in a studio, and no
// more than can be; what sounds moves there.
func TestSeat(t *testing.T) {
	for _, c := range []struct {
		place    expr.Place
		db, want float64
	}{{expr.Hall, -4, -4}, {expr.Hall, 3, 3}, {expr.Hall, -40, -MaxSeatDB}, {expr.Studio, -4, 0}} {
		p := inHall(t, "trumpet")
		e := usual(Config{Sides: expr.Shaped, HeadroomDB: expr.DefaultHeadroomDB, CeilingDB: expr.DefaultCeilingDB, Place: c.place})
		if err := e.Seat(0, 0, p, 0); err != nil {
			t.Fatal(err)
		}
		var out []expr.Event
		keep := func(ev *expr.Event) { out = append(out, *ev) }
		e.Push(exprtest.On(0, 67, 64))
		e.Pull(500*exprtest.Thousandth, keep)
		usual := levelAfter(t, p, out, 500*exprtest.Thousandth)
		e.Stand(0, 0, Standing{c.place, c.db})
		e.Stand(9, 99, Standing{c.place, c.db}) // not there: nothing happens
		e.Pull(time.Second, keep)
		exprtest.Near(t, "on another seat", levelAfter(t, p, out, time.Second)-usual, c.want, 0.5)
	}
}
