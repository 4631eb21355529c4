package beat

import (
	"math/rand/v2"
	"testing"
	"time"
)

// BenchmarkTracker gives the cost of one note: of a solo line, where each is a moment of
// its own, of a dense piano, and of 256 parts that strike together in quavers.
func BenchmarkTracker(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		name, style string
		parts       int
	}{{"solo", "tune", 1}, {"piano", "dense", 1}, {"parts=256", "dense", 256}} {
		b.Run(c.name, func(b *testing.B) {
			p := compose(rng, c.style, metreOf{4, 2}, 110, 60)
			length := time.Duration(p.onsets[len(p.onsets)-1].at+2) * time.Minute / 110
			var t Tracker
			b.ReportAllocs()
			for i := 0; b.Loop(); {
				round := time.Duration(i / (len(p.onsets) * c.parts))
				n := p.onsets[i/c.parts%len(p.onsets)]
				t.Onset(round*length+time.Duration((n.at+p.pickup)*60/110*float64(time.Second)), n.key, n.velocity)
				i++
			}
		})
	}
}

func BenchmarkTrackerBeat(b *testing.B) {
	rng := rand.New(rand.NewPCG(1, 1))
	p := compose(rng, "chords", metreOf{4, 2}, 110, 20)
	var t Tracker
	p.play(rng, exact, &t, func(struckNote, time.Duration, Estimate) {})
	b.ReportAllocs()
	for b.Loop() {
		if t.Beat(20*time.Second).Period == 0 {
			b.Fatal("no beat")
		}
	}
}
