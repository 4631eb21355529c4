package profiles

import (
	"time"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
)

// version is the one form of the documents there is: "swellbox: 1".
const version = 1

// draft is a profile while it is read: what a document says outside the
// instrument, and what can only be settled once all its parents are merged.
type draft struct {
	extends         string
	profile         expr.Profile
	readingAsPlayer bool // the player's own answer to velocity is the reading
	level           control
	depth           control
	rate            control
	delay           control
	brightness      control
}

var families = words("strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "other")

// words are choices that stand for themselves.
func words(ws ...string) []choice[string] {
	cs := make([]choice[string], len(ws))
	for i, w := range ws {
		cs[i] = choice[string]{w, w}
	}
	return cs
}

var carriers = []choice[expr.Carrier]{
	{"velocity", expr.CarryVelocity}, {"controller", expr.CarryController}, {"both", expr.CarryBoth},
}

var combines = []choice[expr.Combine]{
	{"multiply", expr.Multiply}, {"replace", expr.Replace}, {"leave", expr.Leave},
}

var switches = []choice[bool]{{"true", true}, {"false", false}}

// amount is the key k of a rule: 0 is off, 1 as published, at most 2.
func amount(at func(*expr.Profile) *float64) key[draft] {
	return number("k", 0, 2, "", func(d *draft) *float64 { return at(&d.profile) })
}

// The ranges below are what an instrument can do with room to spare. Where a
// reference bounds one it is named; the others are ours, not published.
var profileKeys = []key[draft]{
	versionKey[draft](),
	profileName("name", func(d *draft) *string { return &d.profile.Name }),
	profileName("extends", func(d *draft) *string { return &d.extends }),
	word("family", families, func(d *draft) *string { return &d.profile.Family }),
	whole("players", 1, playersLimit, func(d *draft) *int { return &d.profile.Players }),
	section("dynamics",
		amount(func(p *expr.Profile) *float64 { return &p.Dynamics.K }),
		key[draft]{"reading", readReading},
		word("carried_by", carriers, func(d *draft) *expr.Carrier { return &d.profile.Dynamics.Carrier }),
	),
	section("sustain",
		amount(func(p *expr.Profile) *float64 { return &p.Sustain.K }),
		number("swell_db", 0, 12, "dB", func(d *draft) *float64 { return &d.profile.Sustain.SwellDB }),
		milliseconds("swell_ms", 0, 10000, func(d *draft) *time.Duration { return &d.profile.Sustain.Swell }),
		number("decay_db_per_s", 0, 30, "dB a second", func(d *draft) *float64 { return &d.profile.Sustain.DecayDBPerS }),
		number("decay_limit_db", 0, 30, "dB", func(d *draft) *float64 { return &d.profile.Sustain.DecayLimitDB }),
	),
	section("weighting",
		amount(func(p *expr.Profile) *float64 { return &p.Weighting.K }),
		number("share_db", -12, 12, "dB", func(d *draft) *float64 { return &d.profile.Weighting.ShareDB }),
		number("from_db", -60, 30, "dB re mf", func(d *draft) *float64 { return &d.profile.Weighting.FromDB }),
		number("to_db", -60, 30, "dB re mf", func(d *draft) *float64 { return &d.profile.Weighting.ToDB }),
	),
	section("vibrato",
		amount(func(p *expr.Profile) *float64 { return &p.Vibrato.K }),
		number("low_pitch", 0, 127, "as a MIDI note", func(d *draft) *float64 { return &d.profile.Vibrato.LowPitch }),
		number("high_pitch", 0, 127, "as a MIDI note", func(d *draft) *float64 { return &d.profile.Vibrato.HighPitch }),
		// Singers reach 0.6 to 2 semitones, strings less (Timmers and Desain 2000).
		number("depth_low_cents", 0, 400, "cents, peak to peak", func(d *draft) *float64 { return &d.profile.Vibrato.DepthLow }),
		number("depth_high_cents", 0, 400, "cents, peak to peak", func(d *draft) *float64 { return &d.profile.Vibrato.DepthHigh }),
		// Players keep to 5.5 to 8 Hz (Timmers and Desain 2000), some to 4 (Gough 2005).
		number("rate_low_hz", 2, 12, "Hz", func(d *draft) *float64 { return &d.profile.Vibrato.RateLow }),
		number("rate_high_hz", 2, 12, "Hz", func(d *draft) *float64 { return &d.profile.Vibrato.RateHigh }),
		percent("depth_percent_per_db", -20, 20, "percent a dB", func(d *draft) *float64 { return &d.profile.Vibrato.DepthPerDB }),
		percent("rate_percent_per_db", -5, 5, "percent a dB", func(d *draft) *float64 { return &d.profile.Vibrato.RatePerDB }),
		milliseconds("onset_ms", 0, 5000, func(d *draft) *time.Duration { return &d.profile.Vibrato.Onset }),
		milliseconds("growth_ms", 0, 10000, func(d *draft) *time.Duration { return &d.profile.Vibrato.Growth }),
		milliseconds("slur_gap_ms", 0, 5000, func(d *draft) *time.Duration { return &d.profile.Vibrato.SlurGap }),
		key[draft]{"open_strings", readOpenStrings},
	),
	section("player",
		key[draft]{"velocity", readVelocity},
		whole("fixed_velocity", 1, 127, func(d *draft) *uint8 { return &d.profile.Player.FixedVelocity }),
		controller("level", levelAxes, func(d *draft) *control { return &d.level }),
		section("incoming",
			word("level", combines, func(d *draft) *expr.Combine { return &d.profile.Player.Incoming.Level }),
			word("vibrato", combines, func(d *draft) *expr.Combine { return &d.profile.Player.Incoming.Vibrato }),
		),
		controller("vibrato_depth", depthAxes, func(d *draft) *control { return &d.depth }),
		controller("vibrato_rate", rateAxes, func(d *draft) *control { return &d.rate }),
		controller("vibrato_delay", delayAxes, func(d *draft) *control { return &d.delay }),
		word("bend_vibrato", switches, func(d *draft) *bool { return &d.profile.Player.BendVibrato }),
		number("bend_range_semitones", 1, 24, "semitones", func(d *draft) *float64 { return &d.profile.Player.BendRange }),
		controller("brightness", brightnessAxes, func(d *draft) *control { return &d.brightness }),
		number("brightness_db_per_db", 0, 3, "dB a dB", func(d *draft) *float64 { return &d.profile.Player.BrightPerDB }),
	),
}

// playersLimit is the largest section or choir.
const playersLimit = 500

// versionKey is a key for the version of the form, which [reader.ofVersion] has checked.
func versionKey[T any]() key[T] {
	return key[T]{"swellbox", func(*reader, *yaml.Node, string, *T) {}}
}

// ofVersion reports whether the document is of the form that this program
// reads. If not, that is noted and nothing else of the document makes sense.
func (r *reader) ofVersion(root *yaml.Node) bool {
	n := child(root, "swellbox")
	if n == nil {
		r.fault(root, "swellbox", "the key is missing; write \"swellbox: %d\"", version)
		return false
	}
	if v, ok := decimal(n); !ok || v != version {
		r.fault(n, "swellbox", "found version %s, this program reads version %d", found(n), version)
		return false
	}
	return true
}

func readReading(r *reader, n *yaml.Node, path string, to *draft) {
	if isWord(n, "player") {
		to.readingAsPlayer = true
		return
	}
	mapping(r, n, path, response(readingAxes, func(d *draft) **expr.Curve { return &d.profile.Dynamics.Reading }), to)
}

func readVelocity(r *reader, n *yaml.Node, path string, to *draft) {
	if isWord(n, "none") {
		return // nil: velocity does not change the level
	}
	mapping(r, n, path, response(velocityAxes, func(d *draft) **expr.Curve { return &d.profile.Player.Velocity }), to)
}

func readOpenStrings(r *reader, n *yaml.Node, path string, to *draft) {
	const most = 12 // strings on one instrument
	if n.Kind != yaml.SequenceNode || len(n.Content) > most {
		r.fault(n, path, "found %s, wanted a list of at most %d MIDI notes", counted(n), most)
		return
	}
	notes := make([]uint8, 0, len(n.Content))
	for _, c := range n.Content {
		if v, ok := r.wholeWithin(c, path, 0, 127); ok {
			notes = append(notes, uint8(v))
		}
	}
	to.profile.Vibrato.OpenStrings = notes
}
