package habits

import (
	"slices"

	"swellbox/expr"
)

// Vibrato gives a note the vibrato of strings, and of the winds and voices
// that use it: straight at first, then growing; deeper and faster in the high
// register and in a loud dynamic; none on open strings. At a slurred change it stops
// for a while, half of which falls after the change. A note that ends before the growth
// begins has none, so short notes stay straight without their length being known.
//
// Foreknowledge. None: the half of the gap that lies before the change is not played, as
// nobody knows yet that the note will end. Lookahead and score: it is.
//
// Sources: register, Allen, Geringer and MacLeod 2009; gap at slurred changes,
// Geringer, Allen and MacLeod 2005; direction with dynamic, MacLeod 2008 (from
// memory); short notes, Timmers and Desain 2000. Amounts are the profile's.
type Vibrato struct{}

// Name is the rule's name in counts and reports.
func (Vibrato) Name() string { return "vibrato" }

// Shape gives the note its depth, rate and onset.
func (Vibrato) Shape(n *expr.Note, g *expr.Gesture) bool {
	v := &n.Profile.Vibrato
	if v.K == 0 || v.DepthLow == 0 && v.DepthHigh == 0 || slices.Contains(v.OpenStrings, n.Key) {
		return false
	}
	height := 0.0
	if v.HighPitch > v.LowPitch {
		height = min(max((float64(n.Key)-v.LowPitch)/(v.HighPitch-v.LowPitch), 0), 1)
	}
	depth := v.DepthLow + height*(v.DepthHigh-v.DepthLow)
	rate := v.RateLow + height*(v.RateHigh-v.RateLow)
	g.VibratoCents += v.K * depth * max(0, 1+v.DepthPerDB*n.WrittenDB)
	g.VibratoHz = rate * max(0.5, 1+v.RatePerDB*n.WrittenDB)
	g.VibratoOnset = v.Onset
	if n.Slurred {
		g.VibratoOnset = v.SlurGap / 2
	}
	g.VibratoGrowth = v.Growth
	if n.ToNext > 0 && (g.Overlap > 0 || g.Sounding > n.ToNext) {
		// Under a slur: half of the gap, in which the vibrato dies away. One that
		// would not get under way stays.
		if end := n.ToNext - v.SlurGap/2 + expr.VibratoFade; end > g.VibratoOnset+g.VibratoGrowth {
			g.VibratoEnd = end
		}
	}
	return g.VibratoCents > 0
}
