package change

import "swellbox/expr"

func (ls *lines) habits(a, b *expr.Habits) {
	ls.amount("quantity of the phrase arch", "", a.Phrase, b.Phrase)
	ls.amount("quantity of louder when higher", "", a.HighLoud, b.HighLoud)
	ls.amount("quantity of softer when shorter", "", a.Contrast, b.Contrast)
	ls.amount("quantity of the melodic accents", "", a.Accent, b.Accent)
	ls.amount("quantity of the accents of the metre", "", a.Metre, b.Metre)
	ls.amount("quantity of the melodic and harmonic charge", "", a.Charge, b.Charge)
	ls.amount("quantity of the swell within long notes", "", a.LongNote, b.LongNote)
	ls.amount("quantity of the joined hairpins", "", a.Hairpin, b.Hairpin)
	ls.amount("quantity of the voicing", "", a.Voicing, b.Voicing)
	ls.amount("quantity of stepping back behind the tune", "", a.Yield, b.Yield)
	ls.amount("quantity of the articulation", "", a.Articulation.K, b.Articulation.K)
	ls.amount("quantity of the breaths", "", a.Breath.K, b.Breath.K)
	ls.time("length of a breath or bow at forte", a.Breath.LoudLength, b.Breath.LoudLength)
	ls.time("length of a breath or bow at piano", a.Breath.SoftLength, b.Breath.SoftLength)
	ls.time("gap of a breath or a change of bow", a.Breath.Gap, b.Breath.Gap)
	ls.words("between two of them there is", breath(a), breath(b))
	ls.amount("quantity of the timing", "", a.Timing.K, b.Timing.K)
	ls.time("standard deviation of the onsets", a.Timing.SD, b.Timing.SD)
	ls.words("louder notes are", hammer(a), hammer(b))
	ls.amount("quantity of the pedal", "", a.Pedal.K, b.Pedal.K)
	ls.words("pedal of the kind", pedal(a), pedal(b))
	ls.words("the pedal goes down", halfway(a), halfway(b))
}

func breath(h *expr.Habits) string {
	if h.Breath.Bow {
		return "a dip, for the bow"
	}
	return "a silence, for the breath"
}

func hammer(h *expr.Habits) string {
	if h.Timing.Hammer {
		return "earlier, for the hammer"
	}
	return "in time"
}

func pedal(h *expr.Habits) string {
	switch h.Pedal.Kind {
	case expr.PianoPedal:
		return "piano"
	case expr.HarpDamping:
		return "harp"
	case expr.CelestaPedal:
		return "celesta"
	case expr.BarPedal:
		return "vibraphone"
	}
	return "none"
}

func halfway(h *expr.Habits) string {
	if h.Pedal.Half {
		return "wholly or halfway"
	}
	return "wholly"
}
