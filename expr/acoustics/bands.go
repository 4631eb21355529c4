package acoustics

import "math"

// NumBands is the number of third-octave bands from 20 Hz to 12.5 kHz, the range
// of ISO 226.
const NumBands = 29

// Bands holds one value for each third-octave band: a power, a gain or a level.
type Bands [NumBands]float64

// firstBand is the number of the lowest band, counted from the one at 1 kHz.
const firstBand = -17

// BandHz is the exact middle of a third-octave band in Hz, for i from 0 to
// NumBands-1: 1000·10^(n/10).
//
// Source: IEC 61260-1, base ten, from memory.
func BandHz(i int) float64 { return bandHz[i] }

var bandHz = func() (f Bands) {
	for i := range f {
		f[i] = 1000 * math.Pow(10, float64(i+firstBand)/10)
	}
	return f
}()

// octaves is a frequency in Hz as octaves over 1 Hz.
func octaves(hz float64) float64 { return math.Log2(hz) }

// bandOf is the third-octave band in which f Hz lies; below 0 or at NumBands and
// beyond it is outside the bands.
func bandOf(f float64) int { return bandAt(octaves(f)) }

// bandAt is the same of a frequency in octaves.
func bandAt(f float64) int { return int(math.Floor((f-octaves1000)*bandsAnOctave+0.5)) - firstBand }

var (
	octaves1000   = octaves(1000)
	bandsAnOctave = 10 * math.Log10(2)
)

// bandwidth is the width of a third-octave band in Hz.
func bandwidth(i int) float64 {
	half := math.Pow(10, 0.05)
	return bandHz[i] * (half - 1/half)
}

// ERB is the equivalent rectangular bandwidth of the auditory filter at f Hz, in Hz.
//
// Source: B. R. Glasberg and B. C. J. Moore, Hearing Research 47 (1990) 103-138.
func ERB(f float64) float64 { return 24.7 * (4.37*f/1000 + 1) }

// ERBRate is the number of ERBs below f Hz.
//
// Source: as [ERB]; the printed factor 21.4 from memory.
func ERBRate(f float64) float64 { return 21.4 * math.Log10(4.37*f/1000+1) }

// Bark is the critical-band rate of f Hz, f over 0, in Bark.
//
// Source: H. Traunmüller, JASA 88 (1990) 97-100; his corrections at both ends
// from memory.
func Bark(f float64) float64 {
	z := traunmuller(f)
	switch {
	case z < 2:
		z += 0.15 * (2 - z)
	case z > 20.1:
		z += 0.22 * (z - 20.1)
	}
	return z
}

func traunmuller(f float64) float64 { return 26.81/(1+1960/f) - 0.53 }

var bandBark = func() (z Bands) {
	for i, f := range bandHz {
		z[i] = Bark(f)
	}
	return z
}()
