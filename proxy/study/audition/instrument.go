package audition

import (
	"math"
	"strings"
)

// instrument is one kind of sound. Exactly one of its three ways of sounding
// is set: spec alone for a sustained tone, modes with spec for one that is
// struck or plucked, kit for unpitched percussion.
type instrument struct {
	names   string  // words that a profile's name may hold, parted by |
	family  string  // set on the instrument that stands for a whole family
	middle  float64 // MIDI note in the middle of its range
	spec    *spectrum
	attack  float64 // ms from nothing to all
	release float64 // ms to 8.7 dB less after the note's end
	vibrato float64 // Hz; 0: it has none
	modes   func(key float64) []mode
	kit     func(key uint8) *stroke
}

// Partials near 3 kHz in dB per dB of level: the middle of strings 1.1-1.2,
// woodwind 1.4-2, brass 1.5-2.2. Source: J. Meyer, from memory, low confidence.
// For what is struck, plucked or sung there is no published figure: ours.
const (
	bowed, wood, brass  = 1.15, 1.7, 1.85
	struck, sung, plain = 1.5, 1.4, 1
)

// Main formants (peak) and further ones: horn after J. Meyer, "Tonal
// Characteristics of Musical Instruments" (340, 750, 1225, 2000, 3500 Hz, a
// fall of 12 dB an octave, the fundamental of B1 25 dB under the strongest
// partial, which is a rise of 10.2 dB an octave). All others after Meyer from
// memory, low confidence; their slopes, and the height and width of every further
// formant, are ours, judged by the spectra that they give. Middles of the ranges from the reference
// table of sounding ranges. Rates of vibrato from the published means where there
// are any: violin between 5.5 and 6.5 Hz, students on violin and cello about 5.5,
// flute 5-7, singers 6.0 (Prame 1994); others ours. Attacks and releases are ours.
//
// The first instrument with one of its words in the name is taken, and so the
// longer name stands before the shorter one that it holds.
var instruments = []instrument{
	{names: "piccolo", middle: 88, attack: 25, release: 35, vibrato: 5.8,
		spec: &spectrum{peak: 900, rise: 2, fall: 15, roll: 6000, dynamic: wood}},
	{names: "flute", family: "woodwind", middle: 78, attack: 35, release: 40, vibrato: 5.5,
		spec: &spectrum{peak: 700, rise: 2, fall: 13, roll: 5000, dynamic: wood}},
	{names: "cor anglais|english horn", middle: 66, attack: 25, release: 35, vibrato: 5.3,
		spec: &spectrum{peak: 930, rise: 4, fall: 12, roll: 5000, dynamic: wood}},
	{names: "oboe", middle: 74, attack: 20, release: 35, vibrato: 5.3,
		spec: &spectrum{peak: 1100, rise: 4, fall: 11, roll: 5000, dynamic: wood, formants: []formant{{2700, 4, .25}}}},
	{names: "bass clarinet", middle: 57, attack: 30, release: 40,
		spec: &spectrum{peak: 350, rise: 1, fall: 9, roll: 3500, even: 22, dynamic: wood}},
	{names: "clarinet", middle: 72, attack: 28, release: 40,
		spec: &spectrum{peak: 600, rise: 1, fall: 10, roll: 4000, even: 25, dynamic: wood}},
	{names: "contrabassoon", middle: 38, attack: 40, release: 45,
		spec: &spectrum{peak: 250, rise: 5, fall: 11, roll: 3000, dynamic: wood}},
	{names: "bassoon", middle: 54, attack: 28, release: 40, vibrato: 5.3,
		spec: &spectrum{peak: 500, rise: 5, fall: 12, roll: 3500, dynamic: wood, formants: []formant{{1150, 3, .25}}}},

	{names: "trumpet|cornet", family: "brass", middle: 68, attack: 22, release: 35, vibrato: 5,
		spec: &spectrum{peak: 1200, rise: 4, fall: 13, roll: 5000, dynamic: brass}},
	{names: "trombone", middle: 56, attack: 30, release: 40, vibrato: 5,
		spec: &spectrum{peak: 520, rise: 4, fall: 11, roll: 4000, dynamic: brass}},
	{names: "tuba", middle: 43, attack: 40, release: 50,
		spec: &spectrum{peak: 230, rise: 4, fall: 12, roll: 3000, dynamic: brass}},
	{names: "horn", middle: 58, attack: 35, release: 50,
		spec: &spectrum{peak: 340, rise: 10.2, fall: 12, dynamic: brass,
			formants: []formant{{750, 2, .2}, {1225, 2, .2}, {2000, 2, .2}, {3500, 2, .2}}}},

	{names: "timpani|kettledrum", middle: 48, attack: 2, release: 120, modes: timpani,
		spec: &spectrum{peak: 100, dynamic: struck}},
	{names: "glockenspiel", middle: 93, attack: 1, release: 300, modes: bar(2.756, 5.404, 1.5),
		spec: &spectrum{peak: 800, dynamic: struck}},
	{names: "celesta", middle: 84, attack: 1.5, release: 120, modes: bar(2.756, 5.404, 1.2),
		spec: &spectrum{peak: 800, fall: 6, dynamic: struck}},
	{names: "vibraphone", middle: 71, attack: 1.5, release: 100, modes: bar(4, 10, 3),
		spec: &spectrum{peak: 500, fall: 5, dynamic: struck}},
	{names: "marimba", middle: 70, attack: 1.5, release: 300, modes: bar(4, 10, .8),
		spec: &spectrum{peak: 500, fall: 5, dynamic: struck}},
	{names: "xylophone", middle: 86, attack: 1, release: 300, modes: bar(3, 6, .4),
		spec: &spectrum{peak: 800, fall: 4, dynamic: struck}},
	{names: "tubular bell|bells|chimes", middle: 68, attack: 1.5, release: 300, modes: bell,
		spec: &spectrum{peak: 800, fall: 4, dynamic: struck}},
	{names: "harp", family: "plucked", middle: 64, attack: 1.5, release: 250, modes: harp,
		spec: &spectrum{peak: 300, fall: 9, roll: 3000, dynamic: struck}},
	{names: "piano", family: "keyboard", middle: 64, attack: 1.5, release: 70, modes: piano,
		spec: &spectrum{peak: 350, rise: 1, fall: 8, roll: 2500, dynamic: struck}},
	{names: "bass drum", kit: always(&bassDrum)},
	{names: "snare", kit: always(&snareDrum)},
	{names: "cymbal", kit: always(&cymbals)},
	{names: "tam-tam|gong", kit: always(&tamTam)},
	{names: "triangle", kit: always(&triangle)},
	{names: "tambourine", kit: always(&tambourine)},
	{names: "percussion|drum", family: "percussion", kit: unpitched},

	{names: "violin", family: "strings", middle: 79, attack: 60, release: 70, vibrato: 6,
		spec: &spectrum{peak: 500, rise: 4, fall: 7, roll: 3000, dynamic: bowed, formants: []formant{{1000, 2, .3}, {2500, 3, .3}}}},
	{names: "viola", middle: 70, attack: 60, release: 70, vibrato: 5.6,
		spec: &spectrum{peak: 350, rise: 4, fall: 7, roll: 2500, dynamic: bowed, formants: []formant{{1600, 3, .3}}}},
	{names: "bass", middle: 48, attack: 75, release: 90, vibrato: 4.8,
		spec: &spectrum{peak: 160, rise: 4, fall: 8, roll: 1500, dynamic: bowed}},
	{names: "cello", middle: 56, attack: 65, release: 80, vibrato: 5.3,
		spec: &spectrum{peak: 250, rise: 4, fall: 7, roll: 2000, dynamic: bowed, formants: []formant{{700, 2, .3}}}},
	{names: "choir|chorus|voice|soprano|alto|tenor", family: "voice", middle: 62, attack: 80, release: 90, vibrato: 6,
		spec: &spectrum{peak: 600, rise: 3, fall: 11, roll: 3500, dynamic: sung, formants: []formant{{1100, 4, .2}, {2800, 6, .2}}}},
	{names: "", middle: 65, attack: 30, release: 50, vibrato: 5.5,
		spec: &spectrum{peak: 500, rise: 2, fall: 10, roll: 3500, dynamic: plain}},
}

// find is the sound of a profile's name, of its family, or a plain one.
func find(name, family string) *instrument {
	name, family = strings.ToLower(name), strings.ToLower(family)
	for i := range instruments[:len(instruments)-1] {
		for word := range strings.SplitSeq(instruments[i].names, "|") {
			if strings.Contains(name, word) {
				return &instruments[i]
			}
		}
	}
	for i := range instruments {
		if f := instruments[i].family; f != "" && f == family {
			return &instruments[i]
		}
	}
	return &instruments[len(instruments)-1]
}

// gain brings a note in the middle of the instrument's range, whose RMS is 1, to
// a K-weighted power of 1 at mf. What decays is measured at its start.
func (in *instrument) gain() float64 {
	if in.kit != nil {
		return 1 // each stroke is K-weighted by itself
	}
	power := 0.0
	for _, p := range in.partials(in.middle, 0, ceilingHz) {
		power += p.amp * p.amp / 2 * kPower(p.hz)
	}
	return 1 / math.Sqrt(power)
}

// partial is one sine of a sound.
type partial struct{ hz, amp, t60 float64 } // t60: seconds to 60 dB less; 0 does not decay

// partials gives the sines of a key at its start, the power of 1 together, none
// of them over limit Hz.
func (in *instrument) partials(key, bright, limit float64) []partial {
	f := keyHz(key)
	if in.modes == nil {
		amps := in.spec.harmonics(f, bright, limit)
		ps := make([]partial, len(amps))
		for i, a := range amps {
			ps[i] = partial{hz: f * float64(i+1), amp: a}
		}
		return ps
	}
	var ps []partial
	var dB []float64
	for _, m := range in.modes(key) {
		hz := f * m.ratio
		if hz > limit {
			continue
		}
		ps = append(ps, partial{hz: hz, t60: m.t60})
		dB = append(dB, m.dB+in.spec.dB(hz, 1, bright))
	}
	for i, a := range unitPower(dB) {
		ps[i].amp = a
	}
	return ps
}
