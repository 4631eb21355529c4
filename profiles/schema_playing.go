package profiles

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles/reading"
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
	reading.Section("measured", "what a recording has shown of the sampler's sound, as swellbox calibrate fit writes it", measuredKeys(func(d *draft) *expr.Measured {
		s := &d.profile.Sampler
		if s.Measured == nil {
			s.Measured = &expr.Measured{}
		}
		return s.Measured
	})...),
)

// carriedByKey is what of the marks is the sampler's matter.
var carriedByKey = reading.Word("carried_by", "which message carries the level to the sampler", carriers, func(d *draft) *expr.Carrier { return &d.profile.Dynamics.Carrier })

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
