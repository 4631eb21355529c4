package pedalling

import "math"

// Tones are taken as harmonic: partials each weaker than the one below by a fixed ratio.
//
// Source: Sethares 1993 (SEEN-2).
const (
	partials     = 6
	partialRatio = 0.88
)

// roughness is the sensory dissonance of MIDI keys that sound together equally loud: the
// sum over all pairs of partials, those of one key among themselves included. A
// whole tone on middle C has 2.721, a fifth 0.694.
//
// Source: Sethares 1993, with the smaller of two amplitudes (SEEN-2).
func roughness(keys ...int) float64 {
	var sum float64
	for i, key := range keys {
		for _, other := range keys[i+1:] {
			sum += clash(key, other)
		}
		f := frequency(key)
		for a := 1; a <= partials; a++ {
			for b := a + 1; b <= partials; b++ {
				sum += math.Pow(partialRatio, float64(b-1)) * dissonance(float64(a)*f, float64(b)*f)
			}
		}
	}
	return sum
}

// clash is what two keys add to each other's roughness.
func clash(key, other int) float64 {
	var sum float64
	f, g := frequency(key), frequency(other)
	for a := 1; a <= partials; a++ {
		for b := 1; b <= partials; b++ {
			sum += math.Pow(partialRatio, float64(max(a, b)-1)) * dissonance(float64(a)*f, float64(b)*g)
		}
	}
	return sum
}

func frequency(key int) float64 { return 440 * math.Exp2(float64(key-69)/12) }

// dissonance is that of two sine tones of amplitude 1 and frequencies in Hz, 0 to 0.9.
//
// Source: Sethares 1993 (SEEN-2).
func dissonance(f, g float64) float64 {
	s := 0.24 * math.Abs(f-g) / (0.0207*math.Min(f, g) + 18.96)
	return 5 * (math.Exp(-3.51*s) - math.Exp(-5.75*s))
}

// widest is the interval in semitones beyond which two keys are taken not to clash:
// then only a low partial of one meets high ones of the other.
const widest = 24

// dyads remembers what clash says.
type dyads [128][widest]float32 // by lower key and interval less one; 0 is not yet known

// clash is that of two different keys, 0 if they lie too far apart.
func (d *dyads) clash(key, other int) float64 {
	lower, interval := min(key, other), max(key, other)-min(key, other)
	if interval == 0 || interval > widest {
		return 0
	}
	known := &d[lower][interval-1]
	if *known == 0 {
		*known = float32(clash(lower, lower+interval))
	}
	return float64(*known)
}
