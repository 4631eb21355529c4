package listening

import "math"

// PairRoughness is how rough two pure tones beat: frequencies in Hz, over 0, amplitudes of 0
// or more in any unit. Tones of amplitude 1 have at most 0.9.
//
// min(a1,a2)·5·(e^(-3.51s)-e^(-5.75s)), s = 0.24·Δf/(0.0207·f_min+18.96); the first
// edition has the product of the amplitudes.
//
// Source: W. A. Sethares, "Local consonance and the relationship between timbre and scale", JASA
// 94 (1993) 1218-1228, as quoted in secondary texts.
func PairRoughness(f1, a1, f2, a2 float64) float64 {
	s := 0.24 * math.Abs(f1-f2) / (0.0207*min(f1, f2) + 18.96)
	if s > 15 { // under 1e-22 of the louder: most pairs of two notes' partials, and exponentials cost
		return 0
	}
	return min(a1, a2) * 5 * (math.Exp(-3.51*s) - math.Exp(-5.75*s))
}

// A note's partials: six, each 0.88 of the last. A usual choice in the texts that
// quote Sethares; not his measurement of any instrument.
const (
	partials     = 6
	partialDecay = 0.88
)

// widest is the interval in semitones beyond which two notes are held to have no roughness
// between them: three octaves, where the upper lies beyond the lower's sixth partial. From C2
// upward what is left out is under a hundredth of what a semitone has; at the bottom of the
// piano, a twentieth. Ours.
const widest = 36

// within[key] is the roughness of a note's own partials, between[low][i] that between the
// partials of two notes, of which low is the lower and i the interval.
var within, between = dyads()

func dyads() (within [128]float64, between [128][widest + 1]float64) {
	var amplitude [partials]float64
	for i := range amplitude {
		amplitude[i] = math.Pow(partialDecay, float64(i))
	}
	for low := range between {
		f := hz(low)
		for i, a := range amplitude {
			for j, b := range amplitude[:i] {
				within[low] += PairRoughness(f*float64(i+1), a, f*float64(j+1), b)
			}
		}
		for interval := range between[low] {
			g := hz(low + interval)
			for i, a := range amplitude {
				for j, b := range amplitude {
					between[low][interval] += PairRoughness(f*float64(i+1), a, g*float64(j+1), b)
				}
			}
		}
	}
	return within, between
}

// hz is a MIDI note's frequency: A4, which is 69, has 440 Hz (ISO 16), in equal temperament.
func hz(key int) float64 { return 440 * math.Exp2(float64(key-69)/12) }

// Roughness is how rough MIDI notes, 0..127, sound together, all equally loud: the sum over
// all pairs of their partials, those of one note among themselves included, by
// [PairRoughness]. A semitone on C4 has 3.85, a major triad 4.36; the same chord is rougher
// the lower it lies. Notes out of range count for nothing; notes more than three octaves apart
// have nothing between them.
//
// Each note has six partials, each 0.88 of the last. Source: as [PairRoughness].
func Roughness(keys []uint8) float64 {
	sum := 0.0
	for i, key := range keys {
		if key > 127 {
			continue
		}
		sum += within[key]
		for _, other := range keys[:i] {
			low, high := min(key, other), max(key, other)
			if high <= 127 && high-low <= widest {
				sum += between[low][high-low]
			}
		}
	}
	return sum
}

// Clash is what two different MIDI notes, 0..127, add to each other's roughness in a chord:
// [Roughness] of both less that of each alone. It is 0 for a note with itself and for notes more
// than three octaves apart.
func Clash(key, other int) float64 {
	low, high := min(key, other), max(key, other)
	if low < 0 || high > 127 || low == high || high-low > widest {
		return 0
	}
	return between[low][high-low]
}
