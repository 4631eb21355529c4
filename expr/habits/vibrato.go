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
// A soloist chooses: where how long a note lasts is known, the shorter it is the more often it stays
// straight, and on a long one the vibrato comes later ([expr.Vibrato] has both as amounts). Which
// notes these are goes by the intervals about them and by their length, so that a figure that
// comes again is played alike.
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
		{Key: "late_onset_ms", About: "straight tone before it on notes over 1.2 s, where that is known; 0 as on others", Changed: "start of the vibrato on long notes", Unit: "ms", Most: 5000,
			At: func(p *expr.Profile) *time.Duration { return &p.Vibrato.LateOnset }},
		{Key: "straight_notes", About: "how many notes are left straight, as a soloist does, the shorter the more: 0 none, 1 as measured", Changed: "notes left straight, as by a soloist", Most: 1,
			At: func(p *expr.Profile) *float64 { return &p.Vibrato.Choice }},
		{Key: "open_strings", About: "MIDI notes played without vibrato", Changed: "open strings", Most: 127,
			At: func(p *expr.Profile) *[]uint8 { return &p.Vibrato.OpenStrings }},
	},
}

// About says what the habit is.
func (Vibrato) About() *expr.About { return &aboutVibrato }

// Shape gives the note its depth, rate and onset.
func (Vibrato) Shape(n *expr.Note, g *expr.Gesture) bool {
	v := &n.Profile.Vibrato
	if n.Amount == 0 || v.DepthLow == 0 && v.DepthHigh == 0 || slices.Contains(v.OpenStrings, n.Key) || staysStraight(n, v.Choice) {
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
	switch {
	case v.Choice > 0 && n.Length < 0: // it may be a short one
		g.VibratoOnset = max(v.Onset, inTheDark)
	case v.LateOnset > 0 && n.Length > lateFrom:
		g.VibratoOnset = v.LateOnset
	case n.Slurred && v.SlurGap > 0:
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

// lateFrom is from what length on a soloist's vibrato comes late: measured of violinists (Bach
// Violin Dataset, Dong et al. 2022: median delay 75 and 86 ms on notes of 300 to 600 and to 1200 ms, which
// is as soon as can be seen, and 449 ms on longer ones).
const lateFrom = 1200 * time.Millisecond

// inTheDark is for how long a soloist's note of which nobody knows the length is straight, so that short
// ones stay so. Ours, of the shares below.
const inTheDark = 180 * time.Millisecond

// vibrated is the share of a soloist's notes of a length that has vibrato, by the middles of
// what was measured of three violinists in unaccompanied Bach: at most 22 % under 300 ms, 24 to 26 % up to
// 600 ms, 44 to 72 % up to 1200 ms, 69 to 83 % beyond. It may not carry over to other music.
var vibrated = []struct{ seconds, share float64 }{{0.15, 0}, {0.3, 0.15}, {0.45, 0.25}, {0.9, 0.58}, {1.6, 0.76}}

// shareOf is the share of notes so long that have vibrato.
func shareOf(seconds float64) float64 {
	last := len(vibrated) - 1
	for i := 1; i <= last; i++ {
		if a, b := vibrated[i-1], vibrated[i]; seconds < b.seconds {
			return a.share + max(seconds-a.seconds, 0)/(b.seconds-a.seconds)*(b.share-a.share)
		}
	}
	return vibrated[last].share
}

// staysStraight reports whether a soloist leaves a note straight, by so much of what was measured.
func staysStraight(n *expr.Note, choice float64) bool {
	if choice == 0 || n.Length <= 0 {
		return false
	}
	h := uint32(2166136261) // FNV-1a
	mix := func(x int) { h = (h ^ uint32(x)) * 16777619 }
	if n.LastKey >= 0 {
		mix(int(n.Key) - n.LastKey + 128)
	}
	if n.NextKey >= 0 {
		mix(n.NextKey - int(n.Key) + 512)
	}
	mix(int(n.Length / (50 * time.Millisecond)))
	h ^= h >> 16 // the end of MurmurHash3 (A. Appleby, public domain; from memory)
	h *= 0x85ebca6b
	h ^= h >> 13
	h *= 0xc2b2ae35
	h ^= h >> 16
	return float64(h%4096)/4096 >= 1-choice*(1-shareOf(n.Length.Seconds()))
}
