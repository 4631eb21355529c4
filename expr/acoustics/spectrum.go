package acoustics

import "math"

// Colour is the spectrum of an instrument by frequency, at mf: it is the body that
// shapes it, and so each pitch has its own.
type Colour struct {
	Peak     float64   // Hz of the strongest partials
	Rise     float64   // dB an octave up to the peak
	Fall     float64   // dB an octave beyond it
	Roll     float64   // Hz beyond which it falls by another 12 dB an octave; 0: nowhere
	Even     float64   // dB by which even partials are weaker up to 800 Hz, fading out to 3.2 kHz
	Formants []Formant // bumps on top of that
	Dynamic  float64   // dB by which partials near 3 kHz rise for 1 dB of power; at least 1
	Modes    []Mode    // partials of what is struck; none: harmonics
	Noise    bool      // no pitch: all frequencies from 20 Hz to 12.5 kHz
	Tonality float64   // how steady and pure the tone is as a masker: 0 like noise, 1 a pure tone
	Source   string
}

// Formant is a bump of a Gaussian's shape over log frequency.
type Formant struct{ Hz, DB, Octaves float64 }

// Mode is one partial of a struck body: its frequency re the note and its level.
type Mode struct{ Ratio, DB float64 }

const (
	brightHz          = 3000      // where Meyer's dynamic tone colour factor is told
	rollDB            = 12        // dB an octave beyond Roll; ours
	evenLow, evenHigh = 800, 3200 // Hz; from memory: a clarinet's even partials have caught up by about 3 kHz
	tiltLimit         = 1.25      // how far brightness grows on beyond 3 kHz; ours
)

// inOctaves is a Colour whose frequencies are told in octaves: a spectrum has thousands of partials,
// and logarithms are what it costs.
type inOctaves struct {
	*Colour
	peak, roll       float64
	formants         []float64 // their middles
	tiltFrom, tiltBy float64   // see tilt
}

func (c *Colour) inOctaves() *inOctaves {
	p := &inOctaves{Colour: c, peak: octaves(c.Peak), roll: octaves(c.Roll), formants: make([]float64, len(c.Formants))}
	for i, m := range c.Formants {
		p.formants[i] = octaves(m.Hz)
	}
	p.tiltFrom = octaves(min(max(c.Peak, 200), 1000))
	p.tiltBy = octaves(brightHz) - p.tiltFrom
	return p
}

// dB is the level at f octaves, re the peak, at mf.
func (c *inOctaves) dB(f float64) float64 {
	d := 0.0
	if oct := f - c.peak; oct < 0 {
		d += c.Rise * oct
	} else {
		d -= c.Fall * oct
	}
	if c.Roll > 0 && f > c.roll {
		d -= rollDB * (f - c.roll)
	}
	for i := range c.Formants {
		m := &c.Formants[i]
		x := (f - c.formants[i]) / m.Octaves
		d += m.DB * math.Exp(-x*x/2)
	}
	return d
}

// tilt is the share of the brightness that reaches f octaves: none up to the strongest
// partials, all at 3 kHz, linear in log frequency between and beyond (ours).
func (c *inOctaves) tilt(f float64) float64 {
	return min(max((f-c.tiltFrom)/c.tiltBy, 0), tiltLimit)
}

// shades are the shares of the power in each band, 1 together, of one tone in
// steps of brightness from dark to bright.
type shades [brightSize]Bands

// harmonics is how many octaves each harmonic lies over the first, by its number; there are more than
// the lowest tone of the grid has below 16 kHz.
var harmonics = func() (h [1024]float64) {
	for k := range h {
		h[k] = octaves(float64(k))
	}
	return h
}()

// shades computes them for a tone at hz.
func (c *inOctaves) shades(hz float64) (s shades) {
	tone := octaves(hz)
	switch {
	case c.Noise:
		for i, f := range bandHz {
			s.add(c, i, octaves(f), c.dB(octaves(f))+db10(bandwidth(i)))
		}
	case c.Modes != nil:
		for _, m := range c.Modes {
			f := tone + octaves(m.Ratio)
			s.add(c, bandAt(f), f, c.dB(f)+m.DB)
		}
	default:
		for k := 1; k < len(harmonics); k++ {
			f := tone + harmonics[k]
			band := bandAt(f)
			if band >= NumBands {
				break
			}
			s.add(c, band, f, c.dB(f)-c.evenDB(k, f))
		}
	}
	for i := range s {
		s[i].normalise(hz)
	}
	return s
}

// add adds a partial at f octaves with its level at mf to a band, if it lies in one.
func (s *shades) add(c *inOctaves, band int, f, db float64) {
	if band < 0 || band >= NumBands {
		return
	}
	tilt := c.tilt(f)
	power, step := pow10(db+brightLow*tilt), pow10(brightStep*tilt)
	for i := range s {
		s[i][band] += power
		power *= step
	}
}

var evenFrom, evenTo = octaves(evenLow), octaves(evenHigh)

// evenDB is by how much partial number k at f octaves is weaker.
func (c *inOctaves) evenDB(k int, f float64) float64 {
	if k%2 != 0 || c.Even == 0 {
		return 0
	}
	return c.Even * (1 - within(f, evenFrom, evenTo))
}

// normalise brings the sum to 1. A tone without a partial in any band is put into
// the nearest one.
func (b *Bands) normalise(hz float64) {
	sum := 0.0
	for _, p := range b {
		sum += p
	}
	if sum == 0 {
		b[min(max(bandOf(hz), 0), NumBands-1)] = 1
		return
	}
	for i := range b {
		b[i] /= sum
	}
}

// The grid on which a spectrum is kept: pitches in whole tones, brightness in steps.
const (
	gridLow    = -54 // E♭0, below the lowest note of any instrument
	gridStep   = 2
	gridSize   = 52
	brightLow  = -20 // dB at 3 kHz re mf
	brightStep = 8
	brightSize = 6
)

// spectrum is a Colour on that grid.
type spectrum struct {
	shape   [gridSize]shades
	dynamic float64
	offset  Bands // of the colour as a masker
}

func newSpectrum(c *Colour) *spectrum {
	s := &spectrum{dynamic: c.Dynamic, offset: offsets(c.Tonality)}
	p := c.inOctaves()
	for i := range s.shape {
		s.shape[i] = p.shades(Pitch(gridLow + gridStep*i).Hz())
	}
	return s
}

// add adds to power a tone at p, louderDB over mf in power, with a gain of its
// own in each band.
func (s *spectrum) add(power *Bands, p Pitch, louderDB, factor float64, gain *Bands) {
	i, x := cell((float64(p)-gridLow)/gridStep, gridSize)
	j, y := cell(((s.dynamic-1)*louderDB-brightLow)/brightStep, brightSize)
	a, b := &s.shape[i][j], &s.shape[i][j+1]
	c, d := &s.shape[i+1][j], &s.shape[i+1][j+1]
	wa, wb := (1-x)*(1-y)*factor, (1-x)*y*factor
	wc, wd := x*(1-y)*factor, x*y*factor
	for k := range power {
		power[k] += (wa*a[k] + wb*b[k] + wc*c[k] + wd*d[k]) * gain[k]
	}
}

// cell is the number of the grid's cell in which x lies, and where in it; what is
// no number lies in the first.
func cell(x float64, size int) (int, float64) {
	if !(x > 0) {
		x = 0
	}
	x = min(x, float64(size-1))
	i := min(int(x), size-2)
	return i, x - float64(i)
}
