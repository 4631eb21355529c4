package demo

import (
	"swellbox/expr"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/audition"
)

// Played finds the profile of each part of a report.
func Played(report *offline.Report, cast *perform.Cast) ([]Compared, error) {
	parts := make([]Compared, len(report.Parts))
	for i, r := range report.Parts {
		profile, err := cast.Library.Resolve(r.Profile)
		if err != nil {
			return nil, err
		}
		parts[i] = Compared{Report: r, Profile: profile, Voice: cast.Library.Voice(r.Profile)}
	}
	return parts, nil
}

// Seats places the parts on the synthesiser's stage.
func Seats(parts []Compared) []audition.Part {
	out := make([]audition.Part, len(parts))
	for i, p := range parts {
		out[i] = audition.Part{
			Port: p.Report.Port - 1, Channel: p.Report.Channel - 1,
			Instrument: p.Voice, Family: p.Profile.Family, Players: p.Report.Players,
			Pan: Pan(p.Report.Profile, p.Profile),
		}
	}
	return out
}

// Pan is where an instrument sits from left to right: violins left, low strings right,
// winds in the middle, horns left and heavy brass right of it. Common practice, no
// published source.
func Pan(name string, profile *expr.Profile) float64 {
	places := map[string]float64{
		"violins": -0.5, "violins-1": -0.5, "violins-2": -0.25, "violas": 0.2, "cellos": 0.45, "double-basses": 0.6,
		"piccolo": -0.15, "flute": -0.1, "oboe": 0.1, "clarinet": -0.1, "bassoon": 0.1,
		"horn": -0.3, "trumpet": 0.1, "trombone": 0.3, "tuba": 0.4, "timpani": -0.05, "harp": -0.6, "piano": -0.2,
	}
	if at, ok := places[name]; ok {
		return at
	}
	if profile.Family == "brass" {
		return 0.2
	}
	return 0
}
