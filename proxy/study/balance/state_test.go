package balance

import (
	"slices"
	"testing"

	"swellbox/proxy/study/demo"
)

// What nobody else sounds with is alone, and not dominant; what is under those alone who
// double it is lost in its doubling, and no part of that is blended.
func TestStatesOfTheirOwn(t *testing.T) {
	r := analyse(t, demo.Score(), castOf(t))
	in := r.Reports[studio]
	for _, b := range in.part(t, "Piano").bars(t, 8, 10) {
		if b.State != Alone && b.State != Dominant {
			t.Errorf("piano, bar %d: %s", b.Bar, b.State)
		}
	}
	if got := r.Reports[hall].part(t, "Piano").bars(t, 8, 8)[0]; got.State != Alone {
		t.Errorf("the piano's cadenza of bar 8 is %s, at %g dB", got.State, got.AudibilityDB)
	}
	// The second flute plays what the first plays, an octave under it, from bar 19 on.
	for _, b := range r.Reports[hall].part(t, "Flute 2").bars(t, 19, 20) {
		if b.State != Doubled || b.AudibilityDB >= 0 {
			t.Errorf("flute 2, bar %d: %s at %g dB, want it lost in its doubling", b.Bar, b.State, b.AudibilityDB)
		}
	}
	for _, report := range r.Reports {
		for _, p := range report.Parts {
			if i := slices.IndexFunc(p.Bars, func(b BarReport) bool { return !agree(b.State.String(), b.AudibilityDB) }); i >= 0 {
				t.Errorf("%s, %s: %+v", report.Place, p.Name, p.Bars[i])
			}
		}
	}
}

func TestStateOf(t *testing.T) {
	for _, c := range []struct {
		db              float64
		dominant, alone int
		want            State
	}{
		{-0.1, 0, 10, Covered}, {0, 0, 0, Blended}, {5.9, 10, 5, Blended}, {6, 5, 5, Heard}, {6, 6, 5, Dominant}, {6, 10, 6, Alone}, {1, 0, 6, Alone},
	} {
		if got := stateOf(c.db, 10, c.dominant, c.alone); got != c.want {
			t.Errorf("%+v is %s", c, got)
		}
	}
}
