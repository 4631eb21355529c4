package profiles

import (
	"fmt"
	"strings"

	"swellbox/expr"
)

// Describe is a profile in one line, for a list.
func Describe(p *expr.Profile) string {
	players := "1 player"
	if p.Players != 1 {
		players = fmt.Sprintf("%d players", p.Players)
	}
	parts := []string{fmt.Sprintf("%s, %s", p.Family, players), dynamicsWords(p)}
	if b, k := p.Bloom, p.Amounts.Of("bloom"); k > 0 && (b.SwellDB > 0 || b.DecayDBPerS > 0) {
		parts = append(parts, fmt.Sprintf("held notes swell by %.1f dB", k*b.SwellDB))
	}
	switch w, k := p.Weight, p.Amounts.Of("orchestra_weight"); {
	case k > 0 && p.Instrument != nil && p.Instrument.Name != p.Name:
		parts = append(parts, "stands in a hall as "+p.Instrument.Name)
	case k > 0 && p.Instrument == nil && w.ShareDB != 0:
		parts = append(parts, Minus(fmt.Sprintf("%+.1f dB in forte", k*w.ShareDB)))
	}
	if v, k := p.Vibrato, p.Amounts.Of(expr.KeyVibrato); k > 0 && v.DepthLow+v.DepthHigh > 0 {
		parts = append(parts, fmt.Sprintf("vibrato %s cents at %s Hz",
			between(k*v.DepthLow, k*v.DepthHigh), between(v.RateLow, v.RateHigh)))
	}
	if p.Sampler.Brightness.Has() && p.Sampler.BrightPerDB > 0 {
		parts = append(parts, "brightens as it gets louder")
	}
	return strings.Join(parts, "; ")
}

func dynamicsWords(p *expr.Profile) string {
	if p.Amounts.Of(expr.KeyMarks) == 0 {
		return "dynamics as they come"
	}
	by := "velocity"
	switch p.Dynamics.Carrier {
	case expr.CarryController:
		by = fmt.Sprintf("controller %d", p.Sampler.Level.Number)
	case expr.CarryBoth:
		by = fmt.Sprintf("velocity and controller %d", p.Sampler.Level.Number)
	}
	// The outer marks, pp and ff, at the velocities that notation programs send
	// (common practice, no published source).
	const pp, ff = 33, 112
	r, k := p.Dynamics.Reading, p.Amounts.Of(expr.KeyMarks)
	return Minus(fmt.Sprintf("pp %+.1f to ff %+.1f dB", k*r.At(pp), k*r.At(ff))) + " by " + by
}

// between is a number, or two that differ.
func between(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%g", low)
	}
	return fmt.Sprintf("%g to %g", low, high)
}

// Minus is a printed number with the sign that is printed: what Go writes as a hyphen.
func Minus(number string) string { return strings.ReplaceAll(number, "-", "−") }
