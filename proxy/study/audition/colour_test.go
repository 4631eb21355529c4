package audition

import (
	"fmt"
	"math"
	"testing"
)

// colour is the spectrum of a held note.
func colour(t *testing.T, name string, key, velocity, bright byte) []float64 {
	x := hear(t, solo(name), 1300, send(0, 0xB0, 74, bright), send(0, 0x90, key, velocity))
	return spectrumOf(between(x, 400, 1200))
}

func TestManyLevelsAreBrighter(t *testing.T) {
	for _, name := range []string{"trumpet", "trombone", "horn", "tuba", "clarinet", "violin"} {
		last := 0.0
		for v := byte(15); v <= 127; v += 14 {
			c := centroid(colour(t, name, byte(find(name, "").middle), v, 64))
			if c <= last {
				t.Errorf("%s: the centroid at velocity %d is %.1f Hz, not over the %.1f Hz of the one before", name, v, c, last)
			}
			last = c
		}
	}
}

// The dynamic colour factors are Meyer's, from memory.
func TestManyPartialsAtThreeKilohertz(t *testing.T) {
	for _, c := range []struct {
		name   string
		key    byte
		lo, hi float64 // dB for each dB of the strongest partials
	}{
		{"cello", 48, 1.1, 1.2}, {"viola", 55, 1.1, 1.2}, {"bassoon", 46, 1.4, 2}, {"clarinet", 53, 1.4, 2},
		{"horn", 46, 1.5, 2.2}, {"trombone", 46, 1.5, 2.2}, {"trumpet", 55, 1.5, 2.2},
	} {
		f := keyHz(float64(c.key))
		k := math.Round(brightHz / f)
		soft, loud := colour(t, c.name, c.key, 64, 64), colour(t, c.name, c.key, 112, 64)
		top := 1.0
		for n := 2.0; n < k; n++ {
			if around(loud, n*f) > around(loud, top*f) {
				top = n
			}
		}
		ratio := (around(loud, k*f) - around(soft, k*f)) / (around(loud, top*f) - around(soft, top*f))
		if ratio < c.lo || ratio > c.hi {
			t.Errorf("%s: partials near 3 kHz rise %.2f dB for 1 dB, want %g to %g", c.name, ratio, c.lo, c.hi)
		}
	}
}

// Meyer: B1's fundamental is 25 dB under the strongest partial, which lies at
// the formant of 340 Hz; from C4 up the fundamental dominates.
func TestManyPartialsOfAHorn(t *testing.T) {
	strongest := func(key byte) (number int, over float64) {
		p, f := colour(t, "horn", key, 80, 64), keyHz(float64(key))
		number = 1
		for k := 2; k <= 12; k++ {
			if around(p, float64(k)*f) > around(p, float64(number)*f) {
				number = k
			}
		}
		return number, around(p, float64(number)*f) - around(p, f)
	}
	k, over := strongest(35)
	near(t, "strongest partial of B1, Hz", float64(k)*keyHz(35), 340, keyHz(35)) // one of its two neighbours
	near(t, "strongest partial of B1 over the fundamental, dB", over, 25, 1.5)
	for key := byte(60); key <= 77; key++ {
		if k, _ := strongest(key); k != 1 {
			t.Errorf("key %d: partial %d dominates, want the fundamental", key, k)
		}
	}
	if k, _ := strongest(55); k == 1 {
		t.Error("the fundamental dominates G3, want a higher partial")
	}
}

func TestClarinetLacksEvenPartials(t *testing.T) {
	p, f := colour(t, "clarinet", 50, 80, 64), keyHz(50)
	for _, k := range []float64{2, 4} {
		if d := around(p, (k-1)*f) - around(p, k*f); d < 15 {
			t.Errorf("partial %g is %.1f dB under the one before, want 15 or more", k, d)
		}
	}
}

func TestBrightnessController(t *testing.T) {
	// On a low horn the partials near 340 Hz carry the level; near 3 kHz is k.
	const key = 46
	f := keyHz(key)
	k := math.Round(brightHz / f)
	rel := func(v byte) float64 {
		p := colour(t, "horn", key, 80, v)
		return around(p, k*f) - around(p, 3*f)
	}
	neutral := rel(64)
	for _, c := range []struct {
		v    byte
		want float64
	}{{0, -12}, {32, -6}, {96, 12 * 32. / 63}, {127, 12}} {
		near(t, fmt.Sprintf("controller 74 at %d, dB", c.v), rel(c.v)-neutral, c.want, .7)
	}
	near(t, "level of a bright note, dB", power(between(hear(t, solo("horn"), 1000, send(0, 0xB0, 74, 127), send(0, 0x90, key, 80)), 400, 900)),
		power(between(hear(t, solo("horn"), 1000, send(0, 0x90, key, 80)), 400, 900)), .2)
}

func TestFind(t *testing.T) {
	for _, c := range []struct{ name, family, want string }{
		{"violins", "strings", "violin"}, {"Violas", "", "viola"}, {"violoncello", "strings", "cello"}, {"basses", "strings", "bass"},
		{"double basses", "", "bass"}, {"bassoon", "", "bassoon"}, {"bass clarinet", "", "bass clarinet"}, {"bass trombone", "", "trombone"},
		{"contrabassoon", "", "contrabassoon"}, {"english horn", "", "cor anglais|english horn"}, {"horn", "", "horn"},
		{"bass drum", "percussion", "bass drum"}, {"theorbo", "plucked", "harp"}, {"gadulka", "strings", "violin"},
		{"euphonium", "brass", "trumpet|cornet"}, {"", "", ""}, {"sheng", "unheard of", ""},
	} {
		if got := find(c.name, c.family).names; got != c.want {
			t.Errorf("%q of %q sounds as %q, want %q", c.name, c.family, got, c.want)
		}
	}
}
