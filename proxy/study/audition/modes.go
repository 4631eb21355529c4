package audition

import "math"

// mode is one of the natural vibrations of what is struck or plucked.
type mode struct {
	ratio float64 // of its frequency to the key's
	dB    float64 // how strongly it is set going, before the spectrum
	t60   float64 // seconds to 60 dB less
}

// timpani gives a drum's preferred modes (1,1) to (5,1) and the short thump of
// (0,1). Ratios after T. D. Rossing, from memory; levels and decays ours.
func timpani(float64) []mode {
	return []mode{
		{1, 0, 3}, {1.5, -1, 2.4}, {1.99, -5, 1.8}, {2.44, -9, 1.3}, {2.89, -13, 1},
		{0.85, -5, .25},
	}
}

// bar is a tuned bar of metal or wood by the ratios of its second and third
// mode and the decay of its first at A4, which halves every two octaves. The free
// bar of theory has 1:2.756:5.404; xylophone (3), marimba and vibraphone (4) are
// undercut. Ratios from memory, levels and decays ours.
func bar(second, third, t60 float64) func(float64) []mode {
	return func(key float64) []mode {
		t := t60 * math.Exp2((69-key)/24)
		return []mode{{1, 0, t}, {second, -12, t / 3}, {third, -22, t / 8}}
	}
}

// bell is a tube, whose strike note lies an octave under its fourth mode; modes
// four to seven stand as 9², 11², 13² and 15². From memory, levels and decays ours.
func bell(float64) []mode {
	return []mode{{2, 0, 6}, {2 * 121. / 81, -1, 5}, {2 * 169. / 81, -4, 4}, {2 * 225. / 81, -8, 2.5}, {2 * 25. / 81, -12, 6}}
}

const stringPartials = 14

// piano is a stiff string struck at an eighth of its length. Partial n lies at
// n·√(1+Bn²) (H. Fletcher 1964, from memory); B, about 3e-4 at C4 and doubling
// every 8 keys, from memory; decays ours.
func piano(key float64) []mode {
	stiff := max(1e-4, 3e-4*math.Exp2((key-60)/8))
	t60 := min(14, 12*math.Exp2(-(key-36)/16))
	return plucked(1./8, stiff, t60)
}

// harp is a soft string plucked at two fifths of its length. Ours.
func harp(key float64) []mode {
	return plucked(2./5, 2e-5, min(7, 5*math.Exp2(-(key-48)/18)))
}

// plucked gives the partials of a string set going at a share of its length,
// where partials with a node there are missing (20 dB and more down; theory
// says gone). A partial dies the sooner the higher it is (ours).
func plucked(at, stiff, t60 float64) []mode {
	ms := make([]mode, stringPartials)
	for i := range ms {
		n := float64(i + 1)
		ms[i] = mode{
			ratio: n * math.Sqrt((1+stiff*n*n)/(1+stiff)),
			dB:    20 * math.Log10(max(.1, math.Abs(math.Sin(math.Pi*n*at)))),
			t60:   t60 / (1 + .3*(n-1)),
		}
	}
	return ms
}
