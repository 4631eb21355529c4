package profiles

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/acoustics"
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

// instruments are those of the acoustic model, and none.
var instruments = func() []choice[*acoustics.Instrument] {
	cs := []choice[*acoustics.Instrument]{{"none", nil}}
	for _, in := range acoustics.Instruments() {
		cs = append(cs, choice[*acoustics.Instrument]{in.Name, in})
	}
	return cs
}()

var carriers = []choice[expr.Carrier]{
	{"velocity", expr.CarryVelocity}, {"controller", expr.CarryController}, {"both", expr.CarryBoth},
}

var combines = []choice[expr.Combine]{
	{"multiply", expr.Multiply}, {"replace", expr.Replace}, {"leave", expr.Leave}, {"give_way", expr.GiveWay},
}

var switches = []choice[bool]{{"true", true}, {"false", false}}

// carriedByKey is what of the marks is the sampler's matter.
var carriedByKey = word("carried_by", "which message carries the level to the sampler", carriers, func(d *draft) *expr.Carrier { return &d.profile.Dynamics.Carrier })

var profileKeys = slices.Concat(
	[]key[draft]{
		versionKey[draft](),
		plainName("name", "name of the profile: lower-case letters, digits and single hyphens", func(d *draft) *string { return &d.profile.Name }),
		plainName("extends", "the profile that this one is based on, plain if none is named", func(d *draft) *string { return &d.extends }),
		word("family", "family of the instrument", families, func(d *draft) *string { return &d.profile.Family }),
	},
	playingKeys,
	[]key[draft]{
		section("articulation", "the profile's own way of playing, and what calls it back from a variant", callKeys...),
		{"variants", "other ways of playing the same part, and what calls them; an empty list drops those of the parents",
			listForm(object(variantKeys, "name"), 0, variantsLimit), readVariants[draft](variantKeys)},
	},
)

// playingKeys are what a variant may have of its own as well. The ranges are what an
// instrument can do with room to spare. Where a reference bounds one it is named; the
// others are ours, not published.
var playingKeys = slices.Concat(
	[]key[draft]{
		word("instrument", "which instrument of the acoustic model it stands in a hall as", instruments, func(d *draft) **acoustics.Instrument { return &d.profile.Instrument }),
		whole("players", "how many musicians the sound stands for", 1, playersLimit, func(d *draft) *int { return &d.profile.Players }),
	},
	ownSections(map[string][]key[draft]{expr.KeyMarks: {
		{"reading", "velocity to level, dB against mf; sampler: as the sampler answers",
			either(constForm("sampler"), curveForm(readingKeys)), readReading},
		carriedByKey,
	}}),
	[]key[draft]{habitsKey, playerKey},
)

// playerKey is how the sampler answers: the only part of a document that
// knows controllers.
var playerKey = section("sampler", "how the sampler answers",
	key[draft]{"velocity", "velocity to level, dB against full level; none if it does not change the level",
		either(constForm("none"), curveForm(velocityKeys)), readVelocity},
	whole("fixed_velocity", "what it is sent where a controller carries the level", 1, 127, func(d *draft) *uint8 { return &d.profile.Sampler.FixedVelocity }),
	controller("level", "controller of the level", levelAxes, func(d *draft) *control { return &d.level }),
	section("incoming", "what becomes of a controller that the notation program sends on our number",
		word("level", "on the level controller", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Level }),
		word("vibrato", "on the controller of the vibrato's depth", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Vibrato }),
		word("brightness", "on the controller of the brightness", combines, func(d *draft) *expr.Combine { return &d.profile.Sampler.Incoming.Brightness }),
	),
	controller("vibrato_depth", "controller of the vibrato's depth", depthAxes, func(d *draft) *control { return &d.depth }),
	controller("vibrato_rate", "controller of the vibrato's rate", rateAxes, func(d *draft) *control { return &d.rate }),
	controller("vibrato_delay", "controller of the vibrato's delay", delayAxes, func(d *draft) *control { return &d.delay }),
	word("bend_vibrato", "draw the vibrato with pitch bend", switches, func(d *draft) *bool { return &d.profile.Sampler.BendVibrato }),
	number("bend_range_semitones", "range of the pitch bend each way", 1, 24, "semitones", func(d *draft) *float64 { return &d.profile.Sampler.BendRange }),
	controller("brightness", "controller of the brightness", brightnessAxes, func(d *draft) *control { return &d.brightness }),
	number("brightness_db_per_db", "how much it brightens as it gets louder", 0, 3, "dB for each dB", func(d *draft) *float64 { return &d.profile.Sampler.BrightPerDB }),
)

// playersLimit is the largest section or choir.
const playersLimit = 500

// versionKey is a key for the version of the form, which [reader.ofVersion] has checked.
func versionKey[T any]() key[T] {
	return key[T]{"swellbox", "version of the form of the document", form{"const": version}, func(*reader, *yaml.Node, string, *T) {}}
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

var (
	readingKeys  = response(readingAxes, func(d *draft) **expr.Curve { return &d.profile.Dynamics.Reading })
	velocityKeys = response(velocityAxes, func(d *draft) **expr.Curve { return &d.profile.Sampler.Velocity })
)

func readReading(r *reader, n *yaml.Node, path string, to *draft) {
	if isWord(n, "sampler") {
		to.readingAsPlayer = true
		return
	}
	mapping(r, n, path, readingKeys, to)
}

func readVelocity(r *reader, n *yaml.Node, path string, to *draft) {
	if isWord(n, "none") {
		return // nil: velocity does not change the level
	}
	mapping(r, n, path, velocityKeys, to)
}

// stringsLimit is the most strings of one instrument.
const stringsLimit = 12

func readNotes(r *reader, n *yaml.Node, path string) (notes []uint8, ok bool) {
	if n.Kind != yaml.SequenceNode || len(n.Content) > stringsLimit {
		r.fault(n, path, "found %s, wanted a list of at most %d MIDI notes", counted(n), stringsLimit)
		return nil, false
	}
	notes = make([]uint8, 0, len(n.Content))
	for _, c := range n.Content {
		if v, ok := r.wholeWithin(c, path, 0, 127); ok {
			notes = append(notes, uint8(v))
		}
	}
	return notes, true
}
