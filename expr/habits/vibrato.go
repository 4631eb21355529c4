package habits

import (
	"slices"
	"time"

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

var aboutVibrato = expr.About{
	Name: "vibrato", Key: "vibrato",
	Sentence: "Held notes warm up after a straight start; deeper and faster high up and in forte.",
	Changed:  "the vibrato",
	Listen:   "strings and flutes warm up after the start of a note; none on the open G of violins II, bars 1 to 5",
	Heard:    "held notes warm up after their start", Ease: 4,
	Needs: expr.Grades{
		None:      "all but what lies before a slurred change",
		Lookahead: "all of it",
		Score:     "all of it",
	},
	Source: "Allen, Geringer and MacLeod 2009; Geringer, Allen and MacLeod 2005; MacLeod 2008, from memory; Timmers and Desain 2000",
	Own:    true,
	Settings: []expr.Setting{
		{Key: "low_pitch", About: "lower end of the register", Changed: "low register of the vibrato, at", Unit: "as a MIDI note", Most: 127,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.LowPitch }},
		{Key: "high_pitch", About: "upper end of the register", Changed: "high register of the vibrato, at", Unit: "as a MIDI note", Most: 127,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.HighPitch }},
		// Singers reach 0.6 to 2 semitones, strings less (Timmers and Desain 2000).
		{Key: "depth_low_cents", About: "depth at the lower end, at mf", Changed: "vibrato depth at mf, low register", Unit: "cents, peak to peak", ChangedUnit: "cents", Most: 400,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.DepthLow }},
		{Key: "depth_high_cents", About: "depth at the upper end, at mf", Changed: "vibrato depth at mf, high register", Unit: "cents, peak to peak", ChangedUnit: "cents", Most: 400,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.DepthHigh }},
		// Players keep to 5.5 to 8 Hz (Timmers and Desain 2000), some to 4 (Gough 2005).
		{Key: "rate_low_hz", About: "rate at the lower end, at mf", Changed: "vibrato rate at mf, low register", Unit: "Hz", Least: 2, Most: 12,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.RateLow }},
		{Key: "rate_high_hz", About: "rate at the upper end, at mf", Changed: "vibrato rate at mf, high register", Unit: "Hz", Least: 2, Most: 12,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.RateHigh }},
		{Key: "depth_percent_per_db", About: "how much wider when louder", Changed: "vibrato deeper when louder, by", Unit: "percent a dB", ChangedUnit: "% a dB", Least: -20, Most: 20,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.DepthPerDB }},
		{Key: "rate_percent_per_db", About: "how much faster when louder", Changed: "vibrato faster when louder, by", Unit: "percent a dB", ChangedUnit: "% a dB", Least: -5, Most: 5,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.RatePerDB }},
		{Key: "onset_ms", About: "straight tone before the vibrato begins", Changed: "straight tone before the vibrato", Unit: "ms", Most: 5000,
			At: func(p *expr.Profile) *time.Duration { return &p.Vibrato.Onset }},
		{Key: "growth_ms", About: "from no vibrato to all of it", Changed: "growth of the vibrato", Unit: "ms", Most: 10000,
			At: func(p *expr.Profile) *time.Duration { return &p.Vibrato.Growth }},
		{Key: "slur_gap_ms", About: "straight tone after a slurred change", Changed: "time without vibrato at a slur", Unit: "ms", Most: 5000,
			At: func(p *expr.Profile) *time.Duration { return &p.Vibrato.SlurGap }},
		{Key: "open_strings", About: "MIDI notes played without vibrato", Changed: "open strings", Most: 127,
			At: func(p *expr.Profile) *[]uint8 { return &p.Vibrato.OpenStrings }},
	},
}

// About says what the habit is.
func (Vibrato) About() *expr.About { return &aboutVibrato }

// Shape gives the note its depth, rate and onset.
func (Vibrato) Shape(n *expr.Note, g *expr.Gesture) bool {
	v := &n.Profile.Vibrato
	if n.Amount == 0 || v.DepthLow == 0 && v.DepthHigh == 0 || slices.Contains(v.OpenStrings, n.Key) {
		return false
	}
	height := 0.0
	if v.HighPitch > v.LowPitch {
		height = min(max((float64(n.Key)-v.LowPitch)/(v.HighPitch-v.LowPitch), 0), 1)
	}
	depth := v.DepthLow + height*(v.DepthHigh-v.DepthLow)
	rate := v.RateLow + height*(v.RateHigh-v.RateLow)
	g.VibratoCents += n.Amount * depth * max(0, 1+v.DepthPerDB*n.WrittenDB)
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
