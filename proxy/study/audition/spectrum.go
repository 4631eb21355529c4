package audition

import "math"

// spectrum says how strong a partial of a given frequency is, in dB, at mf.
// It depends on the frequency, not on the partial's number: it is the
// instrument's body that shapes it, and so each pitch has its own colour.
type spectrum struct {
	peak     float64   // Hz of the strongest partials
	rise     float64   // dB an octave up to the peak
	fall     float64   // dB an octave beyond it
	roll     float64   // Hz beyond which it falls by another 12 dB an octave; 0: nowhere
	even     float64   // dB by which even partials are weaker, for a pipe closed at one end
	formants []formant // bumps on top of that
	dynamic  float64   // dB by which partials near 3 kHz rise for 1 dB of the strongest ones
}

// formant is a bump of a Gaussian's shape over log frequency.
type formant struct{ hz, dB, octaves float64 }

const (
	brightHz = 3000 // where brightness is told, Hz
	rollDB   = 12   // dB an octave beyond roll; ours: takes the edge off a bare sum of partials
	// A pipe closed at one end suppresses even partials fully up to evenLow and
	// not at all from evenHigh on. From memory: the clarinet's even partials
	// have caught up by about 3 kHz.
	evenLow, evenHigh = 800, 3200
	// mfDB is the level of mf under full: velocity 80 with expression 127, whose
	// level is 40·log10(80/127). That mf is 80 is common practice.
	mfDB = -8.03
	// floorDB under its strongest partial, one is left out.
	floorDB = -84
	// maxPartials keeps 16 points of a table for each period of the highest partial.
	maxPartials = tableSize / 16
	// ceilingHz is the highest frequency that any partial may reach, bent and
	// trembling as far as it can. It leaves the Nyquist frequency a margin.
	ceilingHz = 20000
)

// dB is the level of partial number k (1 is the fundamental) at f Hz, with
// bright dB more at 3 kHz than at mf.
func (s *spectrum) dB(f float64, k int, bright float64) float64 {
	d := bright * s.tilt(f)
	if oct := math.Log2(f / s.peak); oct < 0 {
		d += s.rise * oct
	} else {
		d -= s.fall * oct
	}
	if s.roll > 0 && f > s.roll {
		d -= rollDB * math.Log2(f/s.roll)
	}
	if s.even > 0 && k%2 == 0 {
		past := math.Log2(f/evenLow) / math.Log2(evenHigh/evenLow)
		d -= s.even * (1 - min(max(past, 0), 1))
	}
	for _, m := range s.formants {
		x := math.Log2(f/m.hz) / m.octaves
		d += m.dB * math.Exp(-x*x/2)
	}
	return d
}

// tilt is the share of the brightness that reaches f: none up to the strongest
// partials, all of it at 3 kHz, linear in log frequency between and, to a
// quarter more, beyond (ours).
func (s *spectrum) tilt(f float64) float64 {
	from := min(max(s.peak, 200), 1000)
	return min(max(math.Log(f/from)/math.Log(brightHz/from), 0), 1.25)
}

// brightness is the dB at 3 kHz, re mf, of a note at levelDB under full.
func (s *spectrum) brightness(levelDB float64) float64 {
	return (s.dynamic - 1) * (levelDB - mfDB)
}

// harmonics gives the amplitudes of partials 1, 2, … of a tone at f Hz that has
// the power of 1 (RMS), none of them over limit Hz and at least the fundamental.
func (s *spectrum) harmonics(f, bright, limit float64) []float64 {
	n := min(max(int(limit/f), 1), maxPartials)
	amps := make([]float64, n)
	for i := range amps {
		amps[i] = s.dB(f*float64(i+1), i+1, bright)
	}
	return unitPower(amps)
}

// unitPower turns levels in dB into the amplitudes of sines that have the power
// of 1 together, in place, and drops the weak end of the series.
func unitPower(dB []float64) []float64 {
	top := math.Inf(-1)
	for _, d := range dB {
		top = max(top, d)
	}
	last, power := 0, 0.0
	for i, d := range dB {
		if d-top > floorDB {
			last = i
		}
		dB[i] = math.Pow(10, (d-top)/20)
		power += dB[i] * dB[i] / 2
	}
	scale := 1 / math.Sqrt(power)
	for i := range dB {
		dB[i] *= scale
	}
	return dB[:last+1]
}

// keyHz is the frequency of a MIDI key in equal temperament at A4 = 440 Hz.
func keyHz(key float64) float64 { return 440 * math.Exp2((key-69)/12) }
