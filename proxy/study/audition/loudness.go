package audition

import (
	"math"
	"math/cmplx"
)

// kPower is the K-weighting at f Hz as a factor of power, without the constant
// of the meter: 1 at about 500 Hz, 4 dB up in the treble, falling in the bass.
//
// Source: ITU-R BS.1770, filter coefficients for 48 kHz (from a secondary copy).
func kPower(f float64) float64 {
	shelf := biquad{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585}
	highPass := biquad{1, -2, 1, -1.99004745483398, 0.99007225036621}
	return shelf.power(f) * highPass.power(f)
}

// biquad is a filter of the second order, its first feedback coefficient
// divided out.
type biquad struct{ b0, b1, b2, a1, a2 float64 }

// bandPass is a band at f Hz with the given quality and a gain of 1 at its middle.
//
// Source: the bilinear transform of the resonator s/Q / (s² + s/Q + 1).
func bandPass(f, q float64) biquad {
	sin, cos := math.Sincos(2 * math.Pi * f / SampleRate)
	alpha := sin / (2 * q)
	a0 := 1 + alpha
	return biquad{alpha / a0, 0, -alpha / a0, -2 * cos / a0, (1 - alpha) / a0}
}

// power is what the filter does to the power of a sine at f Hz.
func (q *biquad) power(f float64) float64 {
	z := cmplx.Exp(complex(0, -2*math.Pi*f/SampleRate))
	h := (complex(q.b0, 0) + complex(q.b1, 0)*z + complex(q.b2, 0)*z*z) /
		(1 + complex(q.a1, 0)*z + complex(q.a2, 0)*z*z)
	return real(h)*real(h) + imag(h)*imag(h)
}
