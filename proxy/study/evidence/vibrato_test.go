package evidence

import (
	"testing"
	"time"

	"swellbox/expr"
)

// vibrato is what players of several instruments do to the pitch of a long note at mf,
// drawn with pitch bend so that rate and extent can be read from the messages.
func vibrato(t *testing.T) []finding {
	low, high := waves(t, "violin", 56), waves(t, "violin", 88)
	mid := waves(t, "violin", 71)
	viola, cello, flute := waves(t, "viola", 64), waves(t, "cello", 52), waves(t, "flute", 76)
	singers := [2]wave{waves(t, "solo-voice", 48), waves(t, "solo-voice", 76)}
	const direction = "direction only"
	return []finding{
		{
			what: "violin, first position, rate", unit: "Hz", digits: 1, low: 5.6, high: 5.8, got: one(low.hz),
			published: "5.7 Hz", source: "Allen, Geringer and MacLeod 2009 (one player)", want: above,
			why: "As three violinists were measured in unaccompanied Bach (Dong et al., ICASSP 2022): 6.4 Hz.",
		},
		{
			what: "violin, first position, extent", unit: "cents", low: 38, high: 43, got: one(low.cents),
			published: "40 cents", source: "as above", want: below,
			why: "As three violinists were measured in unaccompanied Bach: 28 cents; the published figure is of one other player.",
		},
		{
			what: "violin, fifth position, rate", unit: "Hz", digits: 1, low: 6.2, high: 6.4, got: one(high.hz),
			published: "6.3 Hz", source: "as above", want: above,
			why: "As above: 6.9 Hz.",
		},
		{
			what: "violin, fifth position, extent", unit: "cents", low: 104, high: 110, got: one(high.cents),
			published: "108 cents", source: "as above", want: below,
			why: "As above: 34 cents; the violinists measured widen little with height.",
		},
		{
			what: "violin, low to high, rate", unit: "Hz", digits: 1, low: 5.5, high: 8, got: both(low.hz, high.hz),
			source: "Timmers and Desain 2000", want: within,
		},
		{
			what: "violin, middle register, extent", unit: "cents", low: 20, high: 50, got: one(mid.cents),
			published: "20 to 35 cents; about 50", source: "Timmers and Desain 2000; Small, in Seashore 1938", want: within,
		},
		{
			what: "viola less than violin, rate", unit: "Hz", digits: 1, low: 5, high: low.hz, got: one(viola.hz),
			published: direction, source: "MacLeod 2008 (from memory)", want: within,
		},
		{
			what: "cello, extent", unit: "cents", low: 25, high: 45, got: one(cello.cents),
			published: "about 30 cents", source: "Geringer and Allen 2004 (from memory, not sure)", want: within,
		},
		{
			what: "flute, rate", unit: "Hz", digits: 1, low: 5, high: 7, got: one(flute.hz),
			source: "Garrison 2012", want: within,
		},
		{
			what: "flute, extent", unit: "cents", low: 18, high: 22, got: one(flute.cents),
			published: "20 cents", source: "Fletcher 1975 (from memory)", want: within,
		},
		{
			what: "solo voice, rate", unit: "Hz", digits: 1, low: 5.7, high: 6.4, got: both(singers[0].hz, singers[1].hz),
			published: "6.0 Hz, 6.4 Hz", source: "Prame 1994 (secondary); Johnson-Read et al. 2015", want: within,
		},
		{
			what: "solo voice, extent", unit: "cents", low: 114, high: 172, got: both(singers[0].cents, singers[1].cents),
			source: "Prame 1997 (from memory)", want: within,
		},
		{
			what: "clarinet and horn, extent", unit: "cents", low: 0, high: 0,
			got:       both(waves(t, "clarinet", 67).cents, waves(t, "horn", 60).cents),
			published: "none", source: "Tingle 2012; band-method notes", want: within,
		},
		{
			what: "violin, change of rate from cycle to cycle", unit: "%", low: 9, high: 27, got: one(mid.change),
			published: "18 %", source: "Small, in Seashore 1938", want: below,
			why: "The vibrato is drawn as a sine of one rate. Sample players whose vibrato is a depth and a rate bring a change of their own, and those whose samples hold the vibrato bring the player's.",
		},
		{
			what: "straight tone about a slurred change, violin", unit: "s", digits: 2, low: 0.42, high: 0.50, got: one(slurGap(t)),
			source: "Geringer, Allen and MacLeod 2005", want: below,
			why: "These notes are over 1.2 s long, where the violinists measured begin late, slurred or not; on shorter ones they begin with the note.",
		},
	}
}

// wave is a vibrato as it was drawn.
type wave struct {
	hz, cents float64
	change    float64 // of its cycles' lengths from one to the next, percent
}

// waves plays one note of eight seconds and reads the vibrato of its third to sixth.
func waves(t *testing.T, name string, key int) (w wave) {
	t.Helper()
	s := newStudy(t, name)
	s.profiles[0].Sampler.BendVibrato = true
	s.note(0, 0, 8*time.Second, key, 0)
	_, out := s.perform(t, manner{})
	lowest, highest, was := 0.0, 0.0, 0.0
	var wasAt time.Duration
	var ups []float64 // when it came up through the middle, s
	for _, b := range bends(out) {
		if b.at >= 3*time.Second && b.at < 6*time.Second {
			lowest, highest = min(lowest, b.cents), max(highest, b.cents)
			if was < 0 && b.cents >= 0 {
				ups = append(ups, wasAt.Seconds()+(b.at-wasAt).Seconds()*was/(was-b.cents))
			}
		}
		was, wasAt = b.cents, b.at
	}
	w.cents = highest - lowest
	if len(ups) < 3 {
		return w
	}
	w.hz = float64(len(ups)-1) / (ups[len(ups)-1] - ups[0])
	var change []float64
	for i := 2; i < len(ups); i++ {
		a, b := ups[i-1]-ups[i-2], ups[i]-ups[i-1]
		change = append(change, 100*max(a-b, b-a)/a)
	}
	w.change = mean(change)
	return w
}

type bent struct {
	at    time.Duration
	cents float64
}

// bends are the pitch bends among messages, in the default range of two semitones.
func bends(out []expr.Event) (all []bent) {
	for i := range out {
		if e := &out[i]; e.Len == 3 && e.Msg[0]&0xF0 == 0xE0 {
			all = append(all, bent{e.At, float64(int(e.Msg[2])<<7|int(e.Msg[1])-8192) / 8192 * 200})
		}
	}
	return all
}

// slurGap is the time about a slurred change in which the pitch is bent by less than a
// tenth of the vibrato's half.
func slurGap(t *testing.T) float64 {
	t.Helper()
	const change = 4 * time.Second
	s := newStudy(t, "violin")
	s.profiles[0].Sampler.BendVibrato = true
	s.profiles[0].Vibrato.Choice = 0 // every note has some
	s.note(0, 0, change, 71, expr.SlurBegins)
	s.note(0, change, change, 73, expr.SlurEnds)
	_, out := s.perform(t, manner{})
	full := 0.0
	for _, b := range bends(out) {
		if b.at < change {
			full = max(full, b.cents)
		}
	}
	var last, first time.Duration
	for _, b := range bends(out) {
		if b.cents > full/10 || b.cents < -full/10 {
			if b.at <= change {
				last = b.at
			} else if first == 0 {
				first = b.at
			}
		}
	}
	return (first - last).Seconds()
}
