package acoustics

import "math"

// kWeighting is the filter by which loudness is measured, at 48 kHz: the head's shelf, then the
// high-pass, each as b0, b1, b2, a1, a2.
//
// Source: ITU-R BS.1770-5, Annex 1, tables 1 and 2 (from a secondary copy).
var kWeighting = [2][5]float64{
	{1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241, 0.73248077421585},
	{1, -2, 1, -1.99004745483398, 0.99007225036621},
}

// KWeightDB is by how much a tone of so many Hz, up to 20000, is raised where loudness is measured
// as ITU-R BS.1770 has it, dB.
func KWeightDB(hz float64) float64 {
	const rate = 48000
	w := 2 * math.Pi * hz / rate
	power := func(c0, c1, c2 float64) float64 { // of c0 + c1/z + c2/z² on the unit circle
		return sq(c0+c1*math.Cos(w)+c2*math.Cos(2*w)) + sq(c1*math.Sin(w)+c2*math.Sin(2*w))
	}
	gain := 1.0
	for _, c := range kWeighting {
		gain *= power(c[0], c[1], c[2]) / power(1, c[3], c[4])
	}
	return db10(gain)
}

func sq(x float64) float64 { return x * x }
