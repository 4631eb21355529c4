package profiles

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// version is the one form of the documents there is: "swellbox: 1".
const version = 1

// draft is a profile or a way of playing it while it is read: what a document says
// outside the instrument, and what can only be settled once all parents are merged.
type draft struct {
	extends         string
	profile         expr.Profile
	readingAsPlayer bool // the sampler's own answer to velocity is the reading
	level           control
	depth           control
	rate            control
	delay           control
	brightness      control
	call            call
	called          names.Called
	voice           string
}

var families = words("strings", "woodwind", "brass", "percussion", "keyboard", "plucked", "voice", "other")

// words are choices that stand for themselves.
func words(ws ...string) []reading.Choice[string] {
	cs := make([]reading.Choice[string], len(ws))
	for i, w := range ws {
		cs[i] = reading.Choice[string]{Word: w, Value: w}
	}
	return cs
}

// instruments are those of the acoustic model, and none.
var instruments = func() []reading.Choice[*acoustics.Instrument] {
	cs := []reading.Choice[*acoustics.Instrument]{{Word: "none", Value: nil}}
	for _, in := range acoustics.Instruments() {
		cs = append(cs, reading.Choice[*acoustics.Instrument]{Word: in.Name, Value: in})
	}
	return cs
}()

var carriers = []reading.Choice[expr.Carrier]{
	{Word: "velocity", Value: expr.CarryVelocity}, {Word: "controller", Value: expr.CarryController}, {Word: "both", Value: expr.CarryBoth},
}

var combines = []reading.Choice[expr.Combine]{
	{Word: "multiply", Value: expr.Multiply}, {Word: "replace", Value: expr.Replace}, {Word: "leave", Value: expr.Leave}, {Word: "give_way", Value: expr.GiveWay},
}

var switches = []reading.Choice[bool]{{Word: "true", Value: true}, {Word: "false", Value: false}}

// carriedByKey is what of the marks is the sampler's matter.
var carriedByKey = reading.Word("carried_by", "which message carries the level to the sampler", carriers, func(d *draft) *expr.Carrier { return &d.profile.Dynamics.Carrier })

var profileKeys = slices.Concat(
	[]reading.Key[draft]{
		versionKey[draft](),
		reading.PlainName("name", "name of the profile: lower-case letters, digits and single hyphens", func(d *draft) *string { return &d.profile.Name }),
		reading.PlainName("extends", "the profile that this one is based on, plain if none is named", func(d *draft) *string { return &d.extends }),
		reading.Word("family", "family of the instrument", families, func(d *draft) *string { return &d.profile.Family }),
	},
	[]reading.Key[draft]{
		reading.Word("voice", "which instrument of the demonstration it sounds like", voices, func(d *draft) *string { return &d.voice }),
		scoreKey,
	},
	playingKeys,
	[]reading.Key[draft]{
		reading.Section("articulation", "the profile's own way of playing, and what calls it back from a variant", callKeys...),
		{Name: "variants", About: "other ways of playing the same part, and what calls them; an empty list drops those of the parents",
			Form: reading.ListForm(reading.Object(variantKeys, "name"), 0, variantsLimit), Read: readVariants[draft](variantKeys)},
	},
)

// playingKeys are what a variant may have of its own as well. The ranges are what an
// instrument can do with room to spare. Where a reference bounds one it is named; the
// others are ours, not published.
var playingKeys = slices.Concat(
	[]reading.Key[draft]{
		reading.Word("instrument", "which instrument of the acoustic model it stands in a hall as", instruments, func(d *draft) **acoustics.Instrument { return &d.profile.Instrument }),
		reading.Whole("players", "how many musicians the sound stands for", 1, playersLimit, func(d *draft) *int { return &d.profile.Players }),
	},
	ownSections(map[string][]reading.Key[draft]{expr.KeyMarks: {
		{Name: "reading", About: "velocity to level, dB against mf; sampler: as the sampler answers",
			Form: reading.Either(reading.ConstForm("sampler"), curveForm(readingKeys)), Read: readReading},
		carriedByKey,
	}}),
	[]reading.Key[draft]{habitsKey, playerKey},
)

// playerKey is how the sampler answers: the only part of a document that
// knows controllers.
var playerKey = reading.Section("sampler", "how the sampler answers",
	reading.Key[draft]{Name: "velocity", About: "velocity to level, dB against full level; none if it does not change the level",
		Form: reading.Either(reading.ConstForm("none"), curveForm(velocityKeys)), Read: readVelocity},
	reading.Whole("fixed_velocity", "what it is sent where a controller carries the level", 1, 127, func(d *draft) *uint8 { return &d.profile.Sampler.FixedVelocity }),
	controller("level", "controller of the level", levelAxes, func(d *draft) *control { return &d.level }),
	reading.Section("incoming", "what becomes of a controller that the notation program sends on our number",
		reading.Word("level", "on the level controller", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Level }),
		reading.Word("vibrato", "on the controller of the vibrato's depth", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Vibrato }),
		reading.Word("brightness", "on the controller of the brightness", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Brightness }),
	),
	controller("vibrato_depth", "controller of the vibrato's depth", depthAxes, func(d *draft) *control { return &d.depth }),
	controller("vibrato_rate", "controller of the vibrato's rate", rateAxes, func(d *draft) *control { return &d.rate }),
	controller("vibrato_delay", "controller of the vibrato's delay", delayAxes, func(d *draft) *control { return &d.delay }),
	reading.Word("bend_vibrato", "draw the vibrato with pitch bend", switches, func(d *draft) *bool { return &d.profile.Sampler.BendVibrato }),
	reading.Number("bend_range_semitones", "range of the pitch bend each way", 1, 24, "semitones", func(d *draft) *float64 { return &d.profile.Sampler.BendRange }),
	controller("brightness", "controller of the brightness", brightnessAxes, func(d *draft) *control { return &d.brightness }),
	reading.Number("brightness_db_per_db", "how much it brightens as it gets louder", 0, 3, "dB for each dB", func(d *draft) *float64 { return &d.profile.Sampler.BrightPerDB }),
)

// playersLimit is the largest section or choir.
const playersLimit = 500

// versionKey is a key for the version of the form, which [reader.ofVersion] has checked.
func versionKey[T any]() reading.Key[T] {
	return reading.Key[T]{Name: "swellbox", About: "version of the form of the document", Form: reading.Form{"const": version}, Read: func(*reading.Reader, *yaml.Node, string, *T) {}}
}

// ofVersion reports whether the document is of the form that this program
// reads. If not, that is noted and nothing else of the document makes sense.
func ofVersion(r *reading.Reader, root *yaml.Node) bool {
	n := reading.Child(root, "swellbox")
	if n == nil {
		r.Fault(root, "swellbox", "the key is missing; write \"swellbox: %d\"", version)
		return false
	}
	if v, ok := reading.Decimal(n); !ok || v != version {
		r.Fault(n, "swellbox", "found version %s, this program reads version %d", reading.Found(n), version)
		return false
	}
	return true
}

var (
	readingKeys  = response(readingAxes, func(d *draft) **expr.Curve { return &d.profile.Dynamics.Reading })
	velocityKeys = response(velocityAxes, func(d *draft) **expr.Curve { return &d.profile.Sampler.Velocity })
)

func readReading(r *reading.Reader, n *yaml.Node, path string, to *draft) {
	if reading.IsWord(n, "sampler") {
		to.readingAsPlayer = true
		return
	}
	reading.Mapping(r, n, path, readingKeys, to)
}

func readVelocity(r *reading.Reader, n *yaml.Node, path string, to *draft) {
	if reading.IsWord(n, "none") {
		return // nil: velocity does not change the level
	}
	reading.Mapping(r, n, path, velocityKeys, to)
}

// stringsLimit is the most strings of one instrument.
const stringsLimit = 12

func readNotes(r *reading.Reader, n *yaml.Node, path string) (notes []uint8, ok bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) > stringsLimit {
		r.Fault(n, path, "found %s, wanted a list of at most %d MIDI notes", reading.Counted(n), stringsLimit)
		return nil, false
	}
	notes = make([]uint8, 0, len(n.Content))
	for _, c := range n.Content {
		if v, ok := r.WholeWithin(c, path, 0, 127); ok {
			notes = append(notes, uint8(v))
		}
	}
	return notes, true
}
