package audition

import (
	"math"
	"testing"

	"swellbox/expr"
)

// sustained lists one profile name for each instrument that can hold a note.
var sustained = []string{
	"piccolo", "flute", "cor anglais", "oboe", "bass clarinet", "clarinet", "contrabassoon", "bassoon",
	"trumpet", "trombone", "tuba", "horn", "violin", "viola", "double bass", "cello", "choir",
}

// heldLevel is the power in dB of a held note in the middle of its range.
func heldLevel(t *testing.T, p Part, before ...expr.Event) float64 {
	key := byte(find(p.Instrument, p.Family).middle)
	velocity := byte(127)
	return power(between(hear(t, p, 1000, append(before, send(0, 0x90, key, velocity))...), 400, 900))
}

func TestLevelLaw(t *testing.T) {
	for _, name := range []string{"flute", "trumpet", "violin", "double bass"} {
		key := byte(find(name, "").middle)
		full := heldLevel(t, solo(name))
		for v := byte(8); v < 127; v += 17 {
			want := 40 * math.Log10(float64(v)/127)
			x := hear(t, solo(name), 1000, send(0, 0x90, key, v))
			near(t, name+" by velocity", power(between(x, 400, 900))-full, want, .2)
			near(t, name+" by expression", heldLevel(t, solo(name), send(0, 0xB0, 11, v))-full, want, .2)
			near(t, name+" by volume", heldLevel(t, solo(name), send(0, 0xB0, 7, v))-full, want-40*math.Log10(100./127), .2)
		}
		near(t, name+" by half a step of expression", heldLevel(t, solo(name), send(0, 0xB0, 11, 40), send(0, 0xB0, 43, 64))-full,
			40*math.Log10(40.5/127), .1)
	}
}

func TestLevelLawOfStruck(t *testing.T) {
	for _, name := range []string{"piano", "timpani", "harp", "glockenspiel", "bass drum", "cymbals"} {
		key := byte(find(name, "").middle)
		level := func(v byte) float64 { return power(hear(t, solo(name), 1000, send(0, 0x90, key, v))) }
		// Over a second a brighter sound, which dies faster, loses a little.
		near(t, name, level(64)-level(127), -11.9, 1)
	}
}

func TestInstrumentsAreEquallyLoud(t *testing.T) {
	const gm100 = -4.15 // dB: 40·log10(100/127), the volume at the start
	for _, name := range sustained {
		key := byte(find(name, "").middle)
		x := hear(t, solo(name), 1000, send(0, 0x90, key, 80))
		near(t, name+", K-weighted", power(between(kFiltered(x), 400, 900)), mfDB+gm100, .3)
	}
	for _, name := range []string{"piano", "harp", "glockenspiel", "timpani", "snare drum", "cymbals", "tam-tam"} { // what rings long enough to measure
		key := byte(find(name, "").middle)
		x := hear(t, solo(name), 1000, send(0, 0x90, key, 80))
		near(t, name+", K-weighted, at its start", power(between(kFiltered(x), 2, 40)), mfDB+gm100, 3)
	}
}

func TestManyPlayersAreIncoherent(t *testing.T) {
	const a4 = 440
	ripple := func(players int) (level, ripple float64) {
		x := hear(t, Part{Instrument: "violins", Players: players}, 6000, send(0, 0xB0, 1, 40), send(0, 0x90, 69, 100))
		x = between(x, 500, 5900)
		amp, _ := follow(x, a4)
		sum, square := 0.0, 0.0
		for _, a := range amp {
			sum += a
			square += a * a
		}
		n := float64(len(amp))
		return power(x), math.Sqrt(square/n-sum*sum/n/n) / (sum / n)
	}
	one, still := ripple(1)
	many, moving := ripple(12)
	if still > .02 {
		t.Errorf("a soloist's fundamental moves by %.3f of its amplitude, want under 0.02", still)
	}
	if moving < .2 {
		t.Errorf("a section's fundamental moves by %.3f of its amplitude, want over 0.2", moving)
	}
	near(t, "a section against a soloist, dB", many-one, 0, 1.5)
}
