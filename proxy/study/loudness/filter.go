package loudness

import "math"

// section is a filter of the second order, its first feedback coefficient divided out.
type section struct{ b0, b1, b2, a1, a2 float64 }

// publishedRate is the rate in Hz for which the standard gives its coefficients.
const publishedRate = 48000

// published is the K-weighting: the head's shelf, then the high-pass.
//
// Source: ITU-R BS.1770-5, Annex 1, tables 1 and 2 (from a secondary copy).
var published = [2]section{
	{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585},
	{1, -2, 1, -1.99004745483398, 0.99007225036621},
}

// at derives the filter for another rate from its analogue prototype. The published
// coefficients are taken as the bilinear transform of one, which keeps the
// frequency of its poles; undone, and done again at the other rate, it keeps that
// frequency too. The transform is the textbook's: s = (1 - 1/z) / (1 + 1/z), times a
// factor that places the frequency.
func (c section) at(rate float64) section {
	// (n2·s² + n1·s + n0) / (d2·s² + d1·s + d0)
	n2, n1, n0 := c.b0-c.b1+c.b2, 2*(c.b0-c.b2), c.b0+c.b1+c.b2
	d2, d1, d0 := 1-c.a1+c.a2, 2*(1-c.a2), 1+c.a1+c.a2

	pole := math.Sqrt(d0 / d2) // tan(π·f/rate) of the poles' frequency f
	scale := pole / math.Tan(math.Atan(pole)*publishedRate/rate)
	n2, n1 = n2*scale*scale, n1*scale
	d2, d1 = d2*scale*scale, d1*scale

	a0 := d2 + d1 + d0
	return section{
		b0: (n2 + n1 + n0) / a0, b1: 2 * (n0 - n2) / a0, b2: (n2 - n1 + n0) / a0,
		a1: 2 * (d0 - d2) / a0, a2: (d2 - d1 + d0) / a0,
	}
}

// weighting is the K-weighting of one channel at work.
type weighting struct {
	sections [2]section
	state    [2][2]float64 // transposed direct form II
}

func newWeighting(rate int) weighting {
	var w weighting
	for i, s := range published {
		w.sections[i] = s.at(float64(rate))
	}
	return w
}

// energy weighs samples, in order, and returns the sum of their squares.
func (w *weighting) energy(samples []float32) (sum float64) {
	shelf, pass := w.sections[0], w.sections[1]
	s, p := w.state[0], w.state[1]
	for _, sample := range samples {
		x := float64(sample)
		y := shelf.b0*x + s[0]
		s[0] = shelf.b1*x - shelf.a1*y + s[1]
		s[1] = shelf.b2*x - shelf.a2*y
		z := pass.b0*y + p[0]
		p[0] = pass.b1*y - pass.a1*z + p[1]
		p[1] = pass.b2*y - pass.a2*z
		sum += z * z
	}
	w.state = [2][2]float64{s, p}
	return sum
}
