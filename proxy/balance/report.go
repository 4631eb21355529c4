package balance

import (
	"math"

	"swellbox/expr/acoustics"
)

// Result is what an analysis says.
type Result struct {
	Title   string   // the piece's, as the file has it; may be empty
	Where   string   // the hall and the seat in words
	Unit    string   // of a stretch of music: "bar", or "second" for a file in SMPTE time
	Bars    int      // how many there are
	Reports []Report // the hall's, then the studio's
	LeftOut []string // what could not be read or is not known, each in a sentence
}

// Report is how a piece is heard in one sense. Its JSON form is an interface that
// scripts rely on.
type Report struct {
	Sense    string       `json:"sense"` // "hall" or "studio"
	Parts    []PartReport `json:"parts"`
	Warnings []Warning    `json:"warnings"` // the gravest first; never nil

	untold int // warnings beyond maxWarnings
}

// PartReport is one part of a [Report].
type PartReport struct {
	Name       string      `json:"name"`
	Instrument string      `json:"instrument"` // as the model calls it
	Bars       []BarReport `json:"bars"`       // those in which it sounds
}

// BarReport is one part in one bar.
type BarReport struct {
	Bar          int             `json:"bar"`           // from 1
	LevelDB      float64         `json:"level_db"`      // re 20 µPa, energy mean while it sounds
	AudibilityDB float64         `json:"audibility_db"` // over the masked threshold, median
	State        acoustics.State `json:"state"`
}

// Warning is a stretch in which a part cannot be heard, in words.
type Warning struct {
	Part     string `json:"part"`
	FirstBar int    `json:"first_bar"`
	LastBar  int    `json:"last_bar"`
	Text     string `json:"text"`
}

// Share is in how many bars a part is in a state.
func (p *PartReport) Share(s acoustics.State) (bars int) {
	for i := range p.Bars {
		if p.Bars[i].State == s {
			bars++
		}
	}
	return bars
}

// result lays out what was heard.
func (a *analysis) result(title string, opt Options, leftOut []string, stretches [senses][]stretch) *Result {
	r := &Result{Title: title, Where: opt.Where, Unit: a.score.unit, Bars: len(a.bars), LeftOut: leftOut}
	for in := range senses {
		report := Report{Sense: in.String(), Warnings: []Warning{}}
		for _, p := range a.score.parts {
			report.Parts = append(report.Parts, PartReport{Name: p.name, Instrument: p.instrument, Bars: []BarReport{}})
		}
		for bar, parts := range a.bars {
			for _, p := range parts {
				h := &p.heard[in]
				to := &report.Parts[p.part]
				to.Bars = append(to.Bars, BarReport{bar + 1, tenth(h.levelDB), tenth(h.audibilityDB), h.state})
			}
		}
		for i := range stretches[in] {
			s := &stretches[in][i]
			if s.text == "" {
				report.untold++
				continue
			}
			report.Warnings = append(report.Warnings, Warning{a.score.parts[s.part].name, s.first + 1, s.last + 1, s.text})
		}
		r.Reports = append(r.Reports, report)
	}
	return r
}

// tenth rounds to a tenth of a dB, towards the lesser: a state stays true of what it
// is told with, as 5.97 is blended and not 6.0.
func tenth(db float64) float64 { return math.Floor(db*10+1e-9) / 10 }
