package balance

import (
	"math"
	"testing"
)

// The tune is behind where what the notes draw and what is heard disagree, and by the line, not by the part.
func TestTuneBehind(t *testing.T) {
	const tune, double, under = 0, 1, 2
	bar := func(change func(b heardBar)) (float64, []float64) {
		b := heardBar{{part: tune, line: tune, draws: 6}, {part: double, line: tune, draws: 2}, {part: under, line: under, draws: 0}}
		for i := range b {
			b[i].heard[hall].lineDB = 10
		}
		change(b)
		b.lead()
		parts := make([]float64, len(b))
		return b.tuneBehind(hall, parts), parts
	}
	near := func(name string, got, least, most float64) {
		t.Helper()
		if got < least || got > most {
			t.Errorf("%s: behind by %g dB, want %g to %g", name, got, least, most)
		}
	}
	as, _ := bar(func(heardBar) {})
	near("as it is", as, 0, 0)
	set := func(b heardBar, line int, db float64) {
		for i := range b {
			if b[i].line == line {
				b[i].heard[hall].lineDB = db
			}
		}
	}
	covered, parts := bar(func(b heardBar) { set(b, tune, -7) })
	near("the tune is covered", covered, 9.5, 10)
	near("who plays it with others", parts[double], parts[tune], parts[tune])
	other, _ := bar(func(b heardBar) { set(b, under, -7) })
	near("what is under it is covered", other, 0, 0.1)
	marked, _ := bar(func(b heardBar) { set(b, tune, 5); b[under].dynamicDB = 10 })
	near("others are marked louder", marked, 1.9, 2)
	clear, _ := bar(func(b heardBar) { set(b, tune, 12); b[under].dynamicDB = 10 })
	near("and it stands out all the same", clear, 0, 0.1)
	alone, _ := bar(func(b heardBar) { set(b, tune, -7); b[under].line = tune })
	near("all play one line", alone, 0, 0)
	even, parts := bar(func(b heardBar) { set(b, tune, -7); b[under].draws = 6 })
	near("two that draw alike", even, 4.9, 5.1)
	near("the one that is heard", parts[under], 0, 0)
	if math.IsNaN(even) {
		t.Error("not a number")
	}
}

// One line's trouble is one stretch, another's is another, and who carries it is named.
func TestStretchesOfTheTune(t *testing.T) {
	a := &analysis{score: &score{parts: make([]part, 3)}}
	for bar := range 12 {
		b := heardBar{{part: 0, line: 0, draws: 8}, {part: 1, line: 1, draws: 0}, {part: 2, line: 2, draws: 0}}
		for i := range b {
			b[i].heard[hall].lineDB = 12
		}
		switch {
		case bar >= 2 && bar < 6 && bar != 4: // one bar between does not part it
			b[0].heard[hall].lineDB = -6
		case bar >= 6 && bar < 9:
			b[0].draws, b[1].draws = 0, 8
			b[1].heard[hall].lineDB = -6
		}
		b.lead()
		a.bars = append(a.bars, b)
	}
	all := a.stretches(hall)
	if len(all) != 2 {
		t.Fatalf("%+v, want two", all)
	}
	for _, s := range all {
		if s.part == 0 && (s.first != 2 || s.last != 5) || s.part == 1 && (s.first != 6 || s.last != 8) || s.part > 1 {
			t.Errorf("part %d, bars %d to %d", s.part, s.first, s.last)
		}
	}
}
