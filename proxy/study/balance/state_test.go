package balance

import (
	"slices"
	"testing"

	"swellbox/proxy/study/demo"
)

// What nobody else sounds with is alone; who is under those alone who play the same line is its colour.
func TestStatesOfTheirOwn(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	for _, b := range r.Reports[studio].part(t, "Piano").bars(t, 8, 10) {
		if b.State != Alone && b.State != Front {
			t.Errorf("piano, bar %d: %s", b.Bar, b.State)
		}
	}
	if got := r.Reports[hall].part(t, "Piano").bars(t, 8, 8)[0]; got.State != Alone {
		t.Errorf("the piano's cadenza of bar 8 is %s, at %g dB", got.State, got.MaskingDB)
	}
	// The second flute plays what the first plays, an octave under it, from bar 19 on.
	for _, b := range r.Reports[hall].part(t, "Flute 2").bars(t, 19, 20) {
		if b.State != Colour && b.State != Background || b.MaskingDB >= 0 {
			t.Errorf("flute 2, bar %d: %s at %g dB, want it under the line that it plays", b.Bar, b.State, b.MaskingDB)
		}
	}
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			if i := slices.IndexFunc(p.Bars, func(b BarReport) bool { return !agree(b.State.String(), b.MaskingDB) }); i >= 0 {
				t.Errorf("%s, %s: %+v", report.Place, p.Name, p.Bars[i])
			}
		}
	}
}

func TestStateOf(t *testing.T) {
	for _, c := range []struct {
		db    float64
		alone int
		want  State
	}{
		{-0.1, 10, Lost}, {0, 0, Background}, {5.9, 5, Background}, {6, 5, Heard}, {6, 6, Alone}, {1, 6, Alone},
	} {
		if got := stateOf(c.db, 10, c.alone); got != c.want {
			t.Errorf("%+v is %s", c, got)
		}
	}
}

// Who stands out of a bar: by what its notes draw, by audibility, and by its line.
func TestStandOut(t *testing.T) {
	const tune, double, middle, floor, other = 0, 1, 2, 3, 4
	bar := func(change func(b heardBar)) heardBar {
		b := heardBar{
			{part: tune, line: tune, draws: 6}, {part: double, line: tune, draws: 2},
			{part: middle, line: middle, draws: 4}, {part: floor, line: floor, draws: -4}, {part: other, line: floor, draws: -5},
		}
		for i := range b {
			b[i].heard[hall] = heard{audibilityDB: 3, state: Background}
		}
		b[double].heard[hall].audibilityDB, b[other].heard[hall].audibilityDB = -2, -2
		change(b)
		for i := range b {
			b[i].heard[hall].lineDB = b[i].heard[hall].audibilityDB
			for j := range b {
				if b[j].line == b[i].line {
					b[i].heard[hall].lineDB = max(b[i].heard[hall].lineDB, b[j].heard[hall].audibilityDB)
				}
			}
		}
		b.standOut(hall)
		return b
	}
	for name, c := range map[string]struct {
		change func(b heardBar)
		want   []State
	}{
		"as it is": {func(heardBar) {}, []State{Front, Colour, Heard, Background, Background}},
		"its double is stronger": {func(b heardBar) {
			b[tune].heard[hall].audibilityDB, b[double].heard[hall].audibilityDB = -2, 3
		}, []State{Colour, Front, Heard, Background, Background}},
		"the tune is covered": {func(b heardBar) { b[tune].heard[hall].audibilityDB = -9 }, []State{Lost, Lost, Front, Background, Background}},
		"all lost": {func(b heardBar) {
			for i := range b {
				b[i].heard[hall].audibilityDB = -1
			}
		}, []State{Lost, Lost, Lost, Lost, Lost}},
		"alone": {func(b heardBar) { b[middle].heard[hall].state = Alone }, []State{Front, Colour, Alone, Background, Background}},
	} {
		b := bar(c.change)
		for i := range b {
			if got := b[i].heard[hall].state; got != c.want[i] {
				t.Errorf("%s: part %d is %s, want %s", name, i, got, c.want[i])
			}
		}
	}
	share := func(b heardBar, i int) float64 { return b[i].heard[hall].shareDB }
	// Who carries what a listener follows has more of it than all others, and who doubles it more than without it.
	b := bar(func(heardBar) {})
	apart := bar(func(b heardBar) { b[double].line = double })
	if share(b, double) <= share(apart, double) {
		t.Error("who doubles the line in front has no part of it")
	}
	louder := bar(func(b heardBar) { b[tune].heard[hall].audibilityDB += 10 })
	for i := middle; i <= other; i++ {
		if share(b, tune) <= share(b, i) {
			t.Errorf("the line in front has %.1f dB, part %d has %.1f", share(b, tune), i, share(b, i))
		}
	}
	if share(louder, tune) <= share(b, tune) || share(louder, middle) >= share(b, middle) {
		t.Error("a louder tune has no more of what is followed")
	}
}
