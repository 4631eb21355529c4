package balance

import (
	"cmp"
	"math"
	"slices"

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
	Sense    string       `json:"place"` // "hall" or "studio"
	Parts    []PartReport `json:"parts"`
	Warnings []Warning    `json:"warnings"` // the most serious first; never nil

	untold int // stretches that deserve a warning, beyond those that are told
}

// PartReport is one part of a [Report].
type PartReport struct {
	Name       string      `json:"name"`
	Instrument string      `json:"instrument"` // as the model calls it
	Players    int         `json:"players"`
	Doubts     []string    `json:"doubts,omitempty"` // what was guessed of it on doubtful ground, each in a sentence
	PlayersBy  string      `json:"players_by"`       // how their number was found: "named", "plural", "usual size of a section" …
	Bars       []BarReport `json:"bars"`             // those in which it sounds
}

// BarReport is one part in one bar.
type BarReport struct {
	Bar          int             `json:"bar"`           // from 1
	LevelDB      float64         `json:"level_db"`      // re 20 µPa, energy mean while it sounds
	AudibilityDB float64         `json:"audibility_db"` // over what all others mask, median
	State        acoustics.State `json:"state"`         // also blended if only those who double it mask it
}

// Warning is a stretch in which a part cannot be heard, in words.
type Warning struct {
	Part     string `json:"part"`
	FirstBar int    `json:"first_bar"`
	LastBar  int    `json:"last_bar"`
	Text     string `json:"text"`

	alike string // the same for warnings of the same case
}

// cases are the texts of the warnings, those of the same case under the most serious of them.
func (r *Report) cases(unit string) []string {
	var texts []string
	var likewise [][]Warning // by text
	at := map[string]int{}
	for _, w := range r.Warnings {
		if i, known := at[w.alike]; known {
			likewise[i] = append(likewise[i], w)
			continue
		}
		at[w.alike] = len(texts)
		texts, likewise = append(texts, w.Text), append(likewise, nil)
	}
	for i, others := range likewise {
		if len(others) > 0 {
			texts[i] += "; likewise " + spans(unit, others)
		}
	}
	return texts
}

// spans names several stretches in the order of their bars: "bars 4, 6-8 and 12".
func spans(unit string, all []Warning) string {
	slices.SortFunc(all, func(a, b Warning) int { return cmp.Compare(a.FirstBar, b.FirstBar) })
	if len(all) == 1 {
		return span(unit, all[0].FirstBar, all[0].LastBar)
	}
	words := make([]string, len(all))
	for i, w := range all {
		words[i] = numbered(w.FirstBar, w.LastBar)
	}
	return unit + "s " + join(words, "and")
}

// Doubts are what was guessed of the parts on doubtful ground, each in a sentence.
func (r *Result) Doubts() []string {
	var doubts []string
	for i := range r.Reports[:min(len(r.Reports), 1)] {
		for j := range r.Reports[i].Parts {
			doubts = append(doubts, r.Reports[i].Parts[j].Doubts...)
		}
	}
	return doubts
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
			report.Parts = append(report.Parts, PartReport{Name: p.name, Instrument: p.instrument, Players: p.players, PlayersBy: p.by, Doubts: p.doubts, Bars: []BarReport{}})
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
			report.Warnings = append(report.Warnings, Warning{a.score.parts[s.part].name, s.first + 1, s.last + 1, s.text, s.alike})
		}
		r.Reports = append(r.Reports, report)
	}
	return r
}

// tenth rounds to a tenth of a dB, towards the lesser: a state stays true of what it
// is told with, as 5.97 is blended and not 6.0.
func tenth(db float64) float64 { return math.Floor(db*10+1e-9) / 10 }
