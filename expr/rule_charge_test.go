package expr

import (
	"math"
	"testing"
	"time"
)

// Friberg 1991 (from memory): charges 0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5 by
// semitones above the root, 0.2 dB each; here less 0.725 dB, their mean.
func TestMelodicCharge(t *testing.T) {
	charges := []float64{0, 6.5, 2, 4.5, 4, 2.5, 6, 1, 5.5, 3, 3.5, 5}
	for root := range 12 {
		sum := 0.0
		for above, charge := range charges {
			n := noteOf(Habits{Charge: 1}, func(n *Note) { n.Key, n.Root = uint8(48+root+above), root })
			got := shaped(t, Charge{}, n).NuanceDB
			near(t, "level", got, 0.2*charge-0.725, 1e-9)
			sum += got
		}
		near(t, "sum over an octave", sum, 0, 1e-9)
	}
}

// Friberg 1991 (from memory): 1.5·√C dB; here less 0.75, half of a dominant's.
func TestHarmonicCharge(t *testing.T) {
	const root = -0.725 // what the melody makes of the chord's root
	for _, c := range []struct {
		what   string
		k      float64
		tonic  int
		charge float64
		want   float64
	}{
		{"key not known", 1, Unknown, 4, root},
		{"tonic chord", 1, 0, 0, root - 0.75},
		{"dominant", 1, 0, 1, root + 0.75},
		{"dominant, k = 0.5", 0.5, 0, 1, (root + 0.75) / 2},
		{"remote", 1, 0, 4, root + 2.25},
		{"remote, k = 2: held", 2, 0, 4, 3},
	} {
		n := noteOf(Habits{Charge: c.k}, func(n *Note) { n.Root, n.Tonic, n.Charge = 0, c.tonic, c.charge })
		near(t, c.what, shaped(t, Charge{}, n).NuanceDB, c.want, 1e-9)
	}
	if db := shaped(t, Charge{}, noteOf(Habits{Charge: 1}, func(n *Note) { n.Tonic, n.Charge = 0, 4 })).NuanceDB; db != 0 {
		t.Errorf("without a chord: %g dB", db)
	}
}

// Friberg 1991 (from memory): 0.67 % longer for each unit of charge.
func TestChargeLengthens(t *testing.T) {
	for _, c := range []struct {
		what               string
		k                  float64
		above              uint8
		length, next, want time.Duration
	}{
		{"a minor second", 1, 1, 400 * ms, time.Second, 417420 * time.Microsecond},
		{"k = 2", 2, 1, 400 * ms, time.Second, 434840 * time.Microsecond},
		{"no further than the next", 1, 1, 495 * ms, 500 * ms, 500 * ms},
		{"joined already", 1, 1, 500 * ms, 500 * ms, 0},
		{"length not known", 1, 1, Unknown, 500 * ms, 0},
		{"next onset not known", 1, 1, 400 * ms, Unknown, 0},
	} {
		n := noteOf(Habits{Charge: c.k}, func(n *Note) { n.Key, n.Root, n.Length, n.ToNext = 60+c.above, 0, c.length, c.next })
		got := shaped(t, Charge{}, n).Sounding
		if math.Abs(float64(got-c.want)) > float64(time.Microsecond) {
			t.Errorf("%s: sounds %v, want %v", c.what, got, c.want)
		}
	}
}
