package evidence

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
)

func mean(x []float64) float64 { return stat.Mean(x, nil) }

// deviation is the standard deviation.
func deviation(x []float64) float64 { return stat.PopStdDev(x, nil) }

// slope is that of the line of least squares through points.
func slope(x, y []float64) float64 {
	mx, my := mean(x), mean(y)
	xy, xx := 0.0, 0.0
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
	}
	return xy / xx
}

// explained is the share of y's variance that a multiple of x, and a constant, explain.
func explained(x, y []float64) float64 {
	b := slope(x, y)
	left := make([]float64, len(y))
	for i := range y {
		left[i] = y[i] - b*x[i]
	}
	return 1 - math.Pow(deviation(left)/deviation(y), 2)
}

// addPower adds the periodogram of a series, from one cycle in the series up.
func addPower(power, series []float64) {
	n := len(series)
	m := mean(series)
	for k := range power {
		re, im := 0.0, 0.0
		for i, v := range series {
			sin, cos := math.Sincos(2 * math.Pi * float64((k+1)*i%n) / float64(n))
			re += (v - m) * cos
			im += (v - m) * sin
		}
		power[k] += re*re + im*im
	}
}

// exponent is β of a power that goes with 1/f^β: the slope through its means over octaves,
// so that each octave counts alike.
func exponent(power []float64) float64 {
	var x, y []float64
	for from := 1; 2*from <= len(power)+1; from *= 2 {
		x = append(x, math.Log(1.5*float64(from)))
		y = append(y, math.Log(mean(power[from-1:2*from-1])))
	}
	return -slope(x, y)
}

// The instruments by which all else is measured read what is known beforehand.
func TestStatistics(t *testing.T) {
	near := func(what string, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s is %.4f, want %.4f", what, got, want)
		}
	}
	near("the standard deviation of 1 and 3", deviation([]float64{1, 3}), 1, 1e-12)
	near("a slope", slope([]float64{0, 1, 2}, []float64{1, 3, 5}), 2, 1e-12)
	near("what a line explains of itself", explained([]float64{0, 1, 2}, []float64{5, 3, 1}), 1, 1e-12)
	near("what a line explains of a symmetric arch", explained([]float64{-1, 0, 1}, []float64{0, 1, 0}), 0, 1e-12)

	power := make([]float64, 4)
	addPower(power, []float64{1, 0, -1, 0, 1, 0, -1, 0})
	near("power of two cycles", power[1], 16, 1e-9)
	near("and of one", power[0], 0, 1e-9)

	law := make([]float64, 511)
	for k := range law {
		law[k] = math.Pow(float64(k+1), -1)
	}
	near("the exponent of 1/f", exponent(law), 1, 0.06) // the means over the first octaves lie a little high
}
