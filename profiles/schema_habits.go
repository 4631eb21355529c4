package profiles

import (
	"time"

	"swellbox/expr"
)

var pedalKinds = []choice[expr.PedalKind]{
	{"none", expr.NoPedal}, {"piano", expr.PianoPedal}, {"harp", expr.HarpDamping},
	{"celesta", expr.CelestaPedal}, {"vibraphone", expr.BarPedal},
}

// habit is the key of a rule that needs to know nothing but its quantity.
func habit(name, about string, at func(*expr.Habits) *float64) key[draft] {
	return number(name, about+": 0 off, 1 as published, 2 twice as much", 0, 2, "", func(d *draft) *float64 { return at(&d.profile.Habits) })
}

// habitsKey is how players shape a line: what makes a phrase of notes.
var habitsKey = section("habits", "how players shape a line",
	habit("phrase", "louder in the middle of a phrase", func(h *expr.Habits) *float64 { return &h.Phrase }),
	habit("high_loud", "the higher the louder, within the line", func(h *expr.Habits) *float64 { return &h.HighLoud }),
	habit("contrast", "short notes shorter and softer", func(h *expr.Habits) *float64 { return &h.Contrast }),
	habit("accent", "melodic accents", func(h *expr.Habits) *float64 { return &h.Accent }),
	habit("metre", "accents of the metre and of groups", func(h *expr.Habits) *float64 { return &h.Metre }),
	habit("charge", "melodic and harmonic charge", func(h *expr.Habits) *float64 { return &h.Charge }),
	habit("long_note", "swell and decline of a long note", func(h *expr.Habits) *float64 { return &h.LongNote }),
	habit("hairpin", "steps of level joined to a line", func(h *expr.Habits) *float64 { return &h.Hairpin }),
	habit("voicing", "the melody over the other voices of the part", func(h *expr.Habits) *float64 { return &h.Voicing }),
	habit("yield", "stepping back behind the tune of another part", func(h *expr.Habits) *float64 { return &h.Yield }),
	habit("articulation", "how notes are joined and parted", func(h *expr.Habits) *float64 { return &h.Articulation.K }),
	section("breath", "breaths, or changes of bow",
		habit("k", "quantity of the rule", func(h *expr.Habits) *float64 { return &h.Breath.K }),
		milliseconds("loud_ms", "how long one lasts at forte; 0: none is needed", 0, 60000, func(d *draft) *time.Duration { return &d.profile.Habits.Breath.LoudLength }),
		milliseconds("soft_ms", "how long one lasts at piano", 0, 60000, func(d *draft) *time.Duration { return &d.profile.Habits.Breath.SoftLength }),
		milliseconds("gap_ms", "silence, or dip, that one makes", 0, 1000, func(d *draft) *time.Duration { return &d.profile.Habits.Breath.Gap }),
		word("bow", "it is a change of bow: a dip and no silence", switches, func(d *draft) *bool { return &d.profile.Habits.Breath.Bow }),
	),
	section("timing", "how the player stands in time; it needs lookahead",
		habit("k", "quantity of the rule", func(h *expr.Habits) *float64 { return &h.Timing.K }),
		milliseconds("sd_ms", "standard deviation of one player's onsets", 0, 60, func(d *draft) *time.Duration { return &d.profile.Habits.Timing.SD }),
		word("hammer", "a hammer's travel makes louder notes earlier", switches, func(d *draft) *bool { return &d.profile.Habits.Timing.Hammer }),
	),
	section("pedal", "what the foot does where no pedal is written",
		habit("k", "quantity of the rule", func(h *expr.Habits) *float64 { return &h.Pedal.K }),
		word("kind", "what it damps", pedalKinds, func(d *draft) *expr.PedalKind { return &d.profile.Habits.Pedal.Kind }),
		word("half", "the sample player answers to half a pedal", switches, func(d *draft) *bool { return &d.profile.Habits.Pedal.Half }),
	),
)
