package beat

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// stretch is a tempo map: seconds by beats, from the tempo at each beat.
func stretch(bpm func(beat float64) float64, until float64) func(beat float64) float64 {
	const step = 1.0 / 48
	times := []float64{0}
	for b := 0.0; b < until; b += step {
		times = append(times, times[len(times)-1]+60/bpm(b)*step)
	}
	return func(beat float64) float64 {
		x := max(0, beat/step)
		i := min(int(x), len(times)-2)
		return times[i] + (x-float64(i))*(times[i+1]-times[i])
	}
}

// hearing is what was told of one onset.
type hearing struct {
	beat float64
	e    Estimate
}

// right reports whether the beat's length and place were right.
func (h hearing) right(period float64) bool {
	off := math.Abs(h.e.Quarter - math.Round(h.e.Quarter) - h.beat + math.Round(h.beat))
	return math.Abs(h.e.Period.Seconds()/period-1) < 0.03 && math.Min(off, 1-off) < 0.08
}

// TestManyTempoChanges has the tempo change after twelve bars, when
// the beat is known, and asks whether the beat is right soon after, and whether no beat
// was lost or won in the counting.
func TestManyTempoChanges(t *testing.T) {
	const change = 48.0 // beats
	for name, c := range map[string]struct {
		bpm       func(beat float64) float64
		pause     float64 // seconds of silence at the change
		settled   float64 // beats after the change by which it is to be right again
		right     float64 // share of the pieces in which it is
		countKept float64 // share in which the count is kept
	}{
		"steady":        {bpm: func(float64) float64 { return 100 }, settled: 1, right: .95, countKept: .95},
		"faster":        {bpm: func(b float64) float64 { return 100 + 25*math.Round(min(1, max(0, b-change+.5))) }, settled: 6, right: .9, countKept: .9},
		"slower":        {bpm: func(b float64) float64 { return 100 - 22*math.Round(min(1, max(0, b-change+.5))) }, settled: 6, right: .9, countKept: .9},
		"ritardando":    {bpm: func(b float64) float64 { return 100 - 40*min(1, max(0, math.Floor(b-change)/8)) }, settled: 14, right: .85, countKept: .85},
		"accelerando":   {bpm: func(b float64) float64 { return 100 + 40*min(1, max(0, (b-change)/16)) }, settled: 22, right: .85, countKept: .85},
		"general pause": {bpm: func(float64) float64 { return 100 }, pause: 3, settled: 4, right: .95, countKept: .95},
	} {
		t.Run(name, func(t *testing.T) {
			var n, right, kept float64
			for seed := range uint64(40) {
				rng := rand.New(rand.NewPCG(seed, 9))
				p := compose(rng, []string{"chords", "walking", "tune"}[seed%3], metreOf{4, 2}, 100, 60)
				at := stretch(c.bpm, 120)
				var tr Tracker
				var all []hearing
				for _, note := range p.onsets {
					s := at(note.at + p.pickup)
					if note.at >= change {
						s += c.pause
					}
					d := time.Duration(s * float64(time.Second))
					tr.Onset(d, note.key, note.velocity)
					all = append(all, hearing{note.at, tr.Beat(d)})
				}
				before := slices.IndexFunc(all, func(h hearing) bool { return h.beat >= change-4 })
				after := slices.IndexFunc(all, func(h hearing) bool { return h.beat >= change+c.settled })
				if !all[before].right(.6) {
					continue
				}
				n++
				if all[after].right(60 / c.bpm(all[after].beat)) {
					right++
				}
				want := all[after].beat - all[before].beat + c.pause/.6
				if math.Abs(all[after].e.Quarter-all[before].e.Quarter-want) < 0.1 {
					kept++
				}
			}
			t.Logf("of %.0f pieces, right in %.0f, the count kept in %.0f", n, right, kept)
			if n < 30 || right/n < c.right || kept/n < c.countKept {
				t.Errorf("want 30 pieces, %.0f %% and %.0f %%", 100*c.right, 100*c.countKept)
			}
		})
	}
}

// Grace notes, trills and rolled chords stand in no grid and must not lead the beat astray.
func TestOrnaments(t *testing.T) {
	var n, right float64
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 10))
		p := compose(rng, "chords", metreOf{[]int{3, 4}[seed%2], 2}, 70+float64(seed), 40)
		var tr Tracker
		for _, note := range p.onsets {
			s := (note.at + p.pickup) * 60 / p.bpm
			d := time.Duration(s * float64(time.Second))
			if note.at > 8 {
				switch rng.IntN(12) {
				case 0: // a grace note
					tr.Onset(d, note.key+2, 70)
					d += 67 * ms
				case 1: // a turn
					for i := range time.Duration(3) {
						tr.Onset(d+i*53*ms, note.key+int(i), 70)
					}
					d += 3 * 53 * ms
				}
			}
			tr.Onset(d, note.key, note.velocity)
			if note.at > 16 {
				n++
				if (hearing{note.at, tr.Beat(time.Duration(s * float64(time.Second)))}).right(60 / p.bpm) {
					right++
				}
			}
		}
	}
	t.Logf("right at %.1f %% of %.0f onsets", 100*right/n, n)
	if right/n < 0.8 {
		t.Error("want 80 %")
	}
}

// After a silence the music starts afresh, in another tempo, and the count goes on.
func TestRestart(t *testing.T) {
	var n, right float64
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 11))
		a := compose(rng, "chords", metreOf{4, 2}, 96, 20)
		b := compose(rng, "chords", metreOf{3, 2}, 120, 20)
		var tr Tracker
		last := 0.0
		a.play(rng, exact, &tr, func(_ struckNote, at time.Duration, e Estimate) { last = e.Quarter })
		from := 40 * time.Second
		for _, note := range b.onsets {
			at := from + time.Duration((note.at+b.pickup)*.5*float64(time.Second))
			tr.Onset(at, note.key, note.velocity)
			e := tr.Beat(at)
			if e.Quarter < last-2 {
				t.Fatalf("seed %d: the count fell from %v to %v", seed, last, e.Quarter)
			}
			last = e.Quarter
			if note.at > 12 {
				n++
				if (hearing{note.at, e}).right(.5) {
					right++
				}
			}
		}
	}
	t.Logf("right at %.1f %% of %.0f onsets", 100*right/n, n)
	if n == 0 || right/n < 0.8 {
		t.Error("want 80 %")
	}
}
