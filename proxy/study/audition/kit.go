package audition

import "math"

// stroke is one stroke on an instrument without pitch: tones that decay and
// bands of noise that decay.
type stroke struct {
	tones []partial // hz, amp and t60
	bands []band
}

// band is noise around a frequency, amp its RMS at the start.
type band struct{ hz, q, amp, t60 float64 }

// gain brings the stroke's start to a K-weighted power of 1.
func (s *stroke) gain() float64 {
	power := 0.0
	for _, p := range s.tones {
		power += p.amp * p.amp / 2 * kPower(p.hz)
	}
	for _, b := range s.bands {
		plain, weighted := b.noise()
		power += b.amp * b.amp * weighted / plain
	}
	return 1 / math.Sqrt(power)
}

// noise is the power that the band lets through of white noise with the power
// of 1, and the same K-weighted.
func (b *band) noise() (plain, weighted float64) {
	const steps = 512
	f := bandPass(b.hz, b.q)
	for i := range steps {
		hz := (float64(i) + .5) / steps * SampleRate / 2
		p := f.power(hz) / steps
		plain += p
		weighted += p * kPower(hz)
	}
	return plain, weighted
}

// The kit: every figure is ours; keys after General MIDI 1, from memory.
var (
	bassDrum   = stroke{tones: []partial{{48, 1, 1.4}, {79, .6, .9}, {118, .3, .5}}, bands: []band{{160, .6, .5, .15}}}
	snareDrum  = stroke{tones: []partial{{187, .6, .2}, {332, .4, .15}}, bands: []band{{1800, .5, .6, .25}, {4500, .7, .5, .22}}}
	cymbals    = stroke{bands: []band{{1200, .6, .3, 1}, {3200, .6, .6, 2.2}, {6500, .7, .6, 1.6}}}
	tamTam     = stroke{tones: []partial{{82, .5, 7}, {131, .4, 6}, {217, .4, 5}}, bands: []band{{500, .6, .5, 4}, {1800, .6, .3, 2.5}}}
	triangle   = stroke{tones: []partial{{1620, .4, 2}, {3180, .6, 2}, {4730, .5, 1.6}, {6790, .4, 1.2}, {9350, .2, .8}}}
	tambourine = stroke{bands: []band{{3500, .8, .5, .12}, {7500, 1, .8, .3}}}
	woodBlock  = stroke{tones: []partial{{840, 1, .08}, {1930, .5, .05}}, bands: []band{{1500, .7, .3, .03}}}
)

// always is the stroke of an instrument that has a part to itself, on any key.
func always(s *stroke) func(uint8) *stroke { return func(uint8) *stroke { return s } }

// unpitched is the stroke on a key of the kit, as on General MIDI's channel 10.
func unpitched(key uint8) *stroke {
	switch key {
	case 35, 36, 41, 43:
		return &bassDrum
	case 37, 38, 40, 45, 47, 48, 50:
		return &snareDrum
	case 42, 44, 46, 49, 51, 55, 57, 59:
		return &cymbals
	case 52:
		return &tamTam
	case 80, 81:
		return &triangle
	case 54:
		return &tambourine
	}
	return &woodBlock
}
