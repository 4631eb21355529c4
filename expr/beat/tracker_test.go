package beat

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// Tempo prior at .35, .5, .7, 1 and 1.4 s. Source: Parncutt 1994, the formula from
// memory, the values worked out from it.
func TestTempoPrior(t *testing.T) {
	for period, want := range map[float64]float64{0.35: 0.322, 0.5: 0.766, 0.7: 1, 1: 0.741, 1.4: 0.322} {
		if got := tempoPrior(period); math.Abs(got-want) > 0.0005 {
			t.Errorf("%v s: %.4f, want %.3f", period, got, want)
		}
	}
}

// tally counts how often the tracker was right.
type tally struct {
	n, beat, octave, bar, down int
	sure, sureRight            int
	barSure, barSureRight      int
}

func share(k, n int) float64 { return 100 * float64(k) / math.Max(1, float64(n)) }

func (a *tally) String() string {
	return fmt.Sprintf("beat %.1f %%, double or half %.1f %%, bar %.1f %%, downbeat %.1f %%; sure %.1f %% and then right %.1f %%; bar sure %.1f %% and then right %.1f %%, of %d onsets",
		share(a.beat, a.n), share(a.octave, a.n), share(a.bar, a.n), share(a.down, a.n),
		share(a.sure, a.n), share(a.sureRight, a.sure), share(a.barSure, a.n), share(a.barSureRight, a.barSure), a.n)
}

func (a *tally) add(p *piece, n struckNote, e Estimate) {
	a.n++
	ratio := e.Period.Seconds() * p.bpm / 60
	right := math.Abs(ratio-1) < 0.02 && apart(e.Quarter, n.at, 1) < 0.06
	beats := float64(p.metre.beats)
	bar := right && e.BeatsInBar == p.metre.beats && apart(e.InBar-1, n.at, beats) < 0.06
	for _, c := range []struct {
		is    bool
		count *int
	}{
		{right, &a.beat},
		{!right && (math.Abs(ratio-2) < 0.04 || math.Abs(ratio-0.5) < 0.01), &a.octave},
		{bar, &a.bar},
		{right && apart(n.at-(e.InBar-1), 0, beats) < 0.06, &a.down}, // what is told for a downbeat is one
		{e.Sure > 0.8, &a.sure},
		{e.Sure > 0.8 && right, &a.sureRight},
		{e.BarSure > 0.8, &a.barSure},
		{e.BarSure > 0.8 && bar, &a.barSureRight},
	} {
		if c.is {
			*c.count++
		}
	}
}

// apart is how far two places are from each other in a cycle.
func apart(a, b, cycle float64) float64 {
	d := math.Abs(math.Remainder(a-b, cycle))
	return math.Min(d, cycle-d)
}

// TestManyBeatsAreTracked hears ten kinds of made-up music in four metres at 50 to 180 beats a minute and asks
// at each onset after the sixth second. It is no proof for real music.
func TestManyBeatsAreTracked(t *testing.T) {
	var all, usual tally
	by := map[string]*tally{}
	for _, style := range styles {
		for _, m := range []metreOf{{2, 2}, {3, 2}, {4, 2}, {2, 3}} {
			if m.parted == 3 && (style == "triplets" || style == "syncopated" || style == "slow") {
				continue
			}
			for bpm := 50; bpm <= 180; bpm += 10 {
				for seed := range uint64(1) {
					rng := rand.New(rand.NewPCG(seed, uint64(bpm)))
					p := compose(rng, style, m, float64(bpm), 24)
					tallies := []*tally{&all}
					if bpm >= 80 && bpm <= 160 {
						tallies = append(tallies, &usual)
					}
					for _, key := range []string{style, m.String(), fmt.Sprint(bpm)} {
						if by[key] == nil {
							by[key] = new(tally)
						}
						tallies = append(tallies, by[key])
					}
					var tr Tracker
					p.play(rng, exact, &tr, func(n struckNote, at time.Duration, e Estimate) {
						if at < 6*time.Second {
							return
						}
						for _, a := range tallies {
							a.add(p, n, e)
						}
					})
				}
			}
		}
	}
	for _, key := range slices.Sorted(maps.Keys(by)) {
		t.Logf("%s: %v", key, by[key])
	}
	t.Logf("all: %v", &all)
	t.Logf("80 to 160: %v", &usual)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"beat", share(all.beat, all.n), 85},
		{"beat at 80 to 160", share(usual.beat, usual.n), 90},
		{"bar", share(all.bar, all.n), 60},
		{"downbeat", share(all.down, all.n), 70},
		{"right when sure", share(all.sureRight, all.sure), 90},
		{"sure", share(all.sure, all.n), 60},
		{"bar right when sure", share(all.barSureRight, all.barSure), 90},
		{"bar sure", share(all.barSure, all.n), 5},
		{"less double or half", 100 - share(all.octave, all.n), 90},
	} {
		if c.got < c.want {
			t.Errorf("%s: %.1f %%, want %.0f %%", c.what, c.got, c.want)
		}
	}
}

// TestTrackerBegins asks how soon the beat is right, and that it is not sure before.
func TestTrackerBegins(t *testing.T) {
	var bySecond [10]tally
	for _, style := range []string{"tune", "chords", "oompah", "walking"} {
		for bpm := 80; bpm <= 150; bpm += 10 {
			for seed := range uint64(6) {
				rng := rand.New(rand.NewPCG(seed, uint64(bpm)+1000))
				p := compose(rng, style, metreOf{[]int{2, 3, 4}[seed%3], 2}, float64(bpm), 12)
				var tr Tracker
				p.play(rng, exact, &tr, func(n struckNote, at time.Duration, e Estimate) {
					if s := int(at.Seconds()); s < len(bySecond) {
						bySecond[s].add(p, n, e)
					}
				})
			}
		}
	}
	for s := range bySecond {
		t.Logf("second %d: %v", s, &bySecond[s])
	}
	if got := share(bySecond[4].beat, bySecond[4].n); got < 85 {
		t.Errorf("in the fifth second right at %.1f %%, want 85 %%", got)
	}
	if got := share(bySecond[0].sure, bySecond[0].n); got > 1 {
		t.Errorf("in the first second sure at %.1f %%, want 1 %% at most", got)
	}
}

// Onsets that stray by one or two milliseconds, as over a busy cable, are followed, too.
func TestTrackerTakesJitter(t *testing.T) {
	for stray, want := range map[float64]float64{0.001: 90, 0.002: 85} {
		var a tally
		for _, style := range []string{"tune", "chords", "oompah", "walking"} {
			for bpm := 80; bpm <= 150; bpm += 10 {
				rng := rand.New(rand.NewPCG(8, uint64(bpm)))
				p := compose(rng, style, metreOf{2 + bpm/10%3, 2}, float64(bpm), 25)
				var tr Tracker
				p.play(rng, stray, &tr, func(n struckNote, at time.Duration, e Estimate) {
					if at > 6*time.Second {
						a.add(p, n, e)
					}
				})
			}
		}
		t.Logf("%v s: %v", stray, &a)
		if got := share(a.beat, a.n); got < want {
			t.Errorf("onsets that stray by %v s: right at %.1f %%, want %.0f %%", stray, got, want)
		}
	}
}

// A moment of many parts is one onset, whatever the order in which they come.
func TestTrackerGroupsChords(t *testing.T) {
	var a, b Tracker
	for i := range 40 {
		at := time.Duration(i) * 400 * ms
		for k := range 8 {
			a.Onset(at+time.Duration(k)*ms, 40+5*k+i%4, 60+k)
			b.Onset(at+time.Duration(k)*ms, 40+5*(7-k)+i%4, 60+7-k)
		}
		if ea, eb := a.Beat(at), b.Beat(at); ea != eb {
			t.Fatalf("chord %d: %+v and %+v", i, ea, eb)
		}
	}
	if p := a.Beat(16 * time.Second).Period.Round(ms); p != 400*ms && p != 800*ms {
		t.Errorf("a beat of %v, want 400 or 800 ms", p)
	}
}

// With nothing more to hear, it becomes less sure.
func TestTrackerFades(t *testing.T) {
	var tr Tracker
	for i := range 40 {
		tr.Onset(time.Duration(i)*700*ms, []int{36, 60, 64, 60}[i%4], 80)
	}
	last := 39 * 700 * ms
	e := tr.Beat(last)
	if e.Sure < 0.5 || e.Period.Round(ms) != 700*ms {
		t.Fatalf("%+v", e)
	}
	if later := tr.Beat(last + 2800*ms); later.Sure != e.Sure {
		t.Errorf("four beats later sure %v, was %v", later.Sure, e.Sure)
	}
	if later := tr.Beat(last + 8400*ms); math.Abs(later.Sure-e.Sure/math.E) > 0.01 {
		t.Errorf("twelve beats later sure %v, was %v", later.Sure, e.Sure)
	}
}
