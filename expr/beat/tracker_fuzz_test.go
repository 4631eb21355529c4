package beat

import (
	"math"
	"testing"
	"time"
)

// FuzzTracker gives it any onsets: what it tells is deterministic, finite and within
// its ranges, and between onsets the beat goes on.
func FuzzTracker(f *testing.F) {
	seeds := [][]byte{
		{50, 60, 50, 64, 50, 67, 50, 72, 50, 60, 50, 64, 50, 67, 50, 72, 25, 60, 25, 61, 50, 62},
		{0, 0, 1, 255, 255, 128, 3, 3, 4, 4, 5, 5, 33, 1, 33, 2, 33, 3, 34, 4, 35, 5, 36, 6, 37, 7, 250, 8, 250, 9},
		{10, 60, 7, 60, 5, 60, 4, 60, 3, 60, 3, 60, 3, 60, 3, 60, 3, 60, 3, 60, 200, 60, 200, 60, 150, 60},
		[]byte("00C0)0\x9400000000000000000000000000000000000"), // a first beat by rounding
	}
	for _, s := range seeds {
		f.Add(s)
	}
	if len(seeds) == 0 {
		f.Fatal("no seeds")
	}
	f.Fuzz(func(t *testing.T, in []byte) {
		var a, b Tracker
		var at time.Duration
		for ; len(in) >= 2; in = in[2:] {
			at += time.Duration(in[0]) * time.Duration(in[0]) * ms / 10
			if in[1] == 255 {
				at -= 20 * ms
			}
			at = max(at, 0)
			a.Onset(at, int(in[1]&127), 1+int(in[0]&63))
			b.Onset(at, int(in[1]&127), 1+int(in[0]&63))
			e := a.Beat(at)
			if e != b.Beat(at) {
				t.Fatal("two trackers differ")
			}
			if !(e.Sure >= 0 && e.Sure <= 1 && e.BarSure >= 0 && e.BarSure <= e.Sure) {
				t.Fatalf("sure %v, bar sure %v", e.Sure, e.BarSure)
			}
			if e.Period == 0 {
				if e != (Estimate{}) {
					t.Fatalf("no beat, but %+v", e)
				}
				continue
			}
			if e.Period < 100*ms || e.Period > 3*time.Second || math.IsNaN(e.Quarter) || math.Abs(e.Quarter) > 1e6 {
				t.Fatalf("%+v", e)
			}
			if e.BeatsInBar < 2 || e.BeatsInBar > 4 || !(e.InBar >= 1 && e.InBar < float64(e.BeatsInBar)+1) || e.Parted != 2 && e.Parted != 3 {
				t.Fatalf("%+v", e)
			}
			later := a.Beat(at + e.Period)
			if math.Abs(later.Quarter-e.Quarter-1) > 1e-6 || later.Sure > e.Sure {
				t.Fatalf("a beat after %+v comes %+v", e, later)
			}
		}
	})
}
