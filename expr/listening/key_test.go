package listening

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The figures follow from the profiles of Krumhansl and Kessler 1982, as quoted in secondary texts.
func TestKeyFigures(t *testing.T) {
	printed(t, "C and G", KeyLikeness(0, false, 7, false), .591, 3)
	printed(t, "C and Am", KeyLikeness(0, false, 9, true), .650, 3)
	printed(t, "C and C", KeyLikeness(0, false, 12, false), 1, 12)

	scale := chromaOf(0, 2, 4, 5, 7, 9, 11)
	tonic, minor, r := Key(scale)
	if tonic != 0 || minor {
		t.Errorf("the scale of C is in %d, minor %v", tonic, minor)
	}
	printed(t, "scale of C in C", r, .756, 3)
	printed(t, "scale of C in Am", KeyFit(scale, 9, true), .712, 3)

	tonic, minor, r = Key(chromaOf(9, 12, 16))
	if tonic != 9 || !minor {
		t.Errorf("the triad of A minor is in %d, minor %v", tonic, minor)
	}
	printed(t, "triad of A minor", r, .889, 3)
}

func TestNoKey(t *testing.T) {
	var even Chroma
	for i := range even {
		even[i] = 0.1
	}
	for _, c := range []*Chroma{{}, &even} {
		if tonic, minor, r := Key(c); tonic != Unknown || minor || r != 0 {
			t.Errorf("%v is in %d, minor %v, r %g", c, tonic, minor, r)
		}
		if r := KeyFit(c, 3, true); r != 0 {
			t.Errorf("%v fits E flat minor by %g", c, r)
		}
	}
}

func TestKeyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawChroma(t)
		up := rapid.IntRange(0, 11).Draw(t, "semitones")
		tonic, minor, r := Key(c)
		_, _, moved := Key(c.transposed(up))
		if math.Abs(moved-r) > 1e-9 {
			t.Fatalf("r %g, %d semitones up %g", r, up, moved)
		}
		if tonic == Unknown {
			return
		}
		if r < -1-1e-9 || r > 1+1e-9 {
			t.Fatalf("r %g", r)
		}
		if fit := KeyFit(c.transposed(up), tonic+up, minor); math.Abs(fit-r) > 1e-9 {
			t.Fatalf("fits its key by %g, %d semitones up by %g", r, up, fit)
		}
	})
}

// cadence is a minute of I IV V I, each chord a second, in a major key.
func cadence(f *KeyFinder, from time.Duration, tonic int) (end time.Duration) {
	for i := range 60 {
		root := tonic + [4]int{0, 5, 7, 0}[i%4]
		for _, tone := range [3]int{0, 4, 7} {
			f.Add(from+time.Duration(i)*time.Second, root+tone, 1)
		}
	}
	return from + time.Minute
}

func TestKeyFinderFollows(t *testing.T) {
	var f KeyFinder
	if tonic, _, _ := f.Key(); tonic != Unknown {
		t.Errorf("before the first note the key is %d", tonic)
	}
	at := time.Duration(0)
	for _, want := range []int{0, 7, 3} {
		at = cadence(&f, at, want)
		if tonic, minor, r := f.Key(); tonic != want || minor || r < .85 {
			t.Errorf("after a minute in %d it is %d, minor %v, r %.3f", want, tonic, minor, r)
		}
	}
}

func TestKeyFinderForgets(t *testing.T) {
	for _, row := range []struct{ half, effective time.Duration }{{0, DefaultHalfLife}, {-1, DefaultHalfLife}, {3 * time.Second, 3 * time.Second}} {
		f := KeyFinder{HalfLife: row.half}
		f.Add(time.Second, 60, 1)
		f.Add(time.Second+row.effective, 67, 1)
		f.Add(0, 71, 1) // earlier counts as now
		want := Chroma{0: .5, 7: 1, 11: 1}
		if got := f.Heard(); got != want {
			t.Errorf("half-life %v: %v, want %v", row.half, got, want)
		}
	}
	var f KeyFinder
	f.Add(0, 60, 1)
	f.Add(1000*time.Hour, 67, 1)
	if got, want := f.Heard(), (Chroma{7: 1}); got != want {
		t.Errorf("after weeks %v, want %v", got, want)
	}
}
