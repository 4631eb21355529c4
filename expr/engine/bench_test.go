package engine

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/expr/exprtest"
	"swellbox/expr/habits"
)

// BenchmarkEngine counts input events: 256 parts play notes of half a second, half
// of them with a crescendo on expression, all habits on.
func BenchmarkEngine(b *testing.B) {
	const ports, parts = 16, 256
	e := usual(Config{Ports: ports, Sides: expr.Shaped, HeadroomDB: 6, CeilingDB: 3})
	profiles := []*expr.Profile{exprtest.Violins(), exprtest.Trumpet(), exprtest.Sustaining("oboe", -3.01), exprtest.Piano()}
	for _, p := range profiles {
		p.Instrument, _ = acoustics.Lookup(p.Name)
		p.Amounts.Set("orchestra_weight", 1)
		p.Weight.Registers = 1
		exprtest.Musical(1, habits.All())(p)
	}
	for i := range parts {
		if err := e.Seat(i/16, i%16, profiles[i%len(profiles)], 0); err != nil {
			b.Fatal(err)
		}
	}
	at := time.Duration(0)
	emitted := 0
	count := func(*expr.Event) { emitted++ }
	i := 0
	step := func() {
		part := i % parts
		port, ch := uint16(part/16), byte(part%16)
		key := byte(48 + i/parts/2%36)
		if i/parts%2 == 0 {
			e.Push(expr.Short(at, port, 0x90|ch, key, byte(40+i%80)))
		} else {
			e.Push(expr.Short(at, port, 0x80|ch, key, 64))
		}
		at += time.Second / 1024 // each part starts a note every half second
		e.Pull(at, count)
		i++
	}
	for range 3000 * parts { // until each part remembers as much as it ever does
		step()
	}
	emitted = 0
	b.ReportAllocs()
	for b.Loop() {
		step()
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
	b.ReportMetric(float64(emitted)/float64(b.N), "emitted/event")
}

// BenchmarkEngineDense is the same with notes as fast as they come, so that what
// a note costs is seen apart from what its movement costs.
func BenchmarkEngineDense(b *testing.B) {
	e := usual(Config{Sides: expr.Shaped, HeadroomDB: 6, CeilingDB: 3})
	p := exprtest.Violins()
	p.Instrument, _ = acoustics.Lookup(p.Name)
	p.Weight.Registers = 1
	exprtest.Musical(1, habits.All())(p)
	if err := e.Seat(0, 0, p, 0); err != nil {
		b.Fatal(err)
	}
	at := time.Duration(0)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		key := byte(48 + i/2%36)
		e.Push(expr.Short(at, 0, byte(0x90-i%2*0x10), key, byte(40+i%80)))
		at += 4 * time.Millisecond
		e.Pull(at, func(*expr.Event) {})
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "events/s")
}
