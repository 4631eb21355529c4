package listening

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The figures of this file follow from the formula of Sethares 1993, as quoted in secondary texts.

func TestPairRoughnessPeak(t *testing.T) {
	for f, want := range map[float64]float64{110: 19.5, 220: 21.6, 440: 25.8, 880: 34.1} {
		worst, most := 0.0, 0.0
		for d := 0.0; d < 50; d += 0.001 {
			if r := PairRoughness(f, 1, f+d, 1); r > most {
				worst, most = d, r
			}
		}
		printed(t, fmt.Sprintf("worst difference at %g Hz", f), worst, want, 1)
		printed(t, "roughness there", most, .899, 3)
		printed(t, "s there", 0.24*worst/(0.0207*f+18.96), math.Log(5.75/3.51)/(5.75-3.51), 4) // 0.22035
	}
}

func TestPairRoughnessAmplitudes(t *testing.T) {
	printed(t, "the softer counts", PairRoughness(440, 2, 466, .5), .5*PairRoughness(440, 1, 466, 1), 9)
	printed(t, "order does not", PairRoughness(466, .5, 440, 2), PairRoughness(440, 2, 466, .5), 12)
	printed(t, "a tone with itself", PairRoughness(440, 1, 440, 1), 0, 12)
}

func TestRoughnessOfDyads(t *testing.T) {
	want := []float64{.172, 3.851, 2.721, 2.153, 1.975, 1.336, 1.931, .694, 1.812, 1.183, 1.429, 1.887, .100}
	// A C4 rounded to 261.63 Hz has 2.152 for the minor third.
	for semitones, want := range want {
		got := Roughness([]uint8{60, 60 + uint8(semitones)})
		printed(t, fmt.Sprintf("%d semitones", semitones), got, want, 3)
	}
}

// The table is the sum over all partials.
func TestRoughnessIsTheSumOfItsPairs(t *testing.T) {
	for _, keys := range [][]uint8{{60}, {60, 64, 67}, {28, 40, 64}, {100, 101, 127}} {
		var f, a []float64
		for _, key := range keys {
			for i := range 6 {
				f = append(f, 440*math.Pow(2, (float64(key)-69)/12)*float64(i+1))
				a = append(a, math.Pow(.88, float64(i)))
			}
		}
		want := 0.0
		for i := range f {
			for j := range i {
				want += PairRoughness(f[i], a[i], f[j], a[j])
			}
		}
		printed(t, fmt.Sprint(keys), Roughness(keys), want, 9)
	}
}

func TestRoughnessOfChords(t *testing.T) {
	printed(t, "C major on C4", Roughness([]uint8{60, 64, 67}), 4.36, 2)
	printed(t, "a semitone", Roughness([]uint8{60, 61}), 3.85, 2)
	if n := Roughness(nil); n != 0 {
		t.Errorf("silence has %g", n)
	}
	if got, want := Roughness([]uint8{60, 200}), Roughness([]uint8{60}); got != want {
		t.Errorf("with a note out of range %g, without %g", got, want)
	}
	for root := uint8(24); root < 100; root++ {
		low, high := Roughness([]uint8{root, root + 4, root + 7}), Roughness([]uint8{root + 1, root + 5, root + 8})
		if low <= high {
			t.Errorf("a major triad on %d has %g, a semitone higher %g", root, low, high)
		}
	}
}

func TestRoughnessProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		keys := rapid.SliceOfN(rapid.Uint8(), 1, 12).Draw(t, "keys")
		all, without := Roughness(keys), Roughness(keys[1:])
		if all < without-1e-9 || math.IsInf(all, 0) || math.IsNaN(all) {
			t.Fatalf("%v has %g, without the first %g", keys, all, without)
		}
		if other := Roughness(rapid.Permutation(keys).Draw(t, "order")); math.Abs(other-all) > 1e-9 {
			t.Fatalf("%v has %g, in another order %g", keys, all, other)
		}
	})
}

func TestClash(t *testing.T) {
	for _, interval := range []int{1, 7, 24, 36} {
		want := Roughness([]uint8{50, uint8(50 + interval)}) - Roughness([]uint8{50}) - Roughness([]uint8{uint8(50 + interval)})
		if got := Clash(50+interval, 50); math.Abs(got-want) > 1e-9 {
			t.Errorf("%d semitones: %.6f, want %.6f", interval, got, want)
		}
	}
	for _, none := range [][2]int{{50, 50}, {50, 87}, {-1, 3}, {120, 128}} {
		if got := Clash(none[0], none[1]); got != 0 {
			t.Errorf("%v clash by %g", none, got)
		}
	}
}
