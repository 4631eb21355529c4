package balance

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"swellbox/proxy/layout"
)

// Result is what an analysis says.
type Result struct {
	Title   string   // the piece's, as the file has it; may be empty
	Where   string   // the hall and the seat in words
	Unit    string   // of a stretch of music: "bar", or "second" for a file in SMPTE time
	Bars    int      // how many there are
	Reports []Report // the hall's, then the studio's
	naming           // what the bars are called: as they are printed, if Options had the score
	LeftOut []string // what could not be read or is not known, each in a sentence

	heard     *analysis
	stretches []stretch // of the hall, that are told
}

// Report is how a piece is heard in one place. Its JSON form is an interface that
// scripts rely on.
type Report struct {
	Place    string       `json:"place"` // "hall" or "studio"
	Parts    []PartReport `json:"parts"`
	Warnings []Warning    `json:"warnings"`       // the most serious first; never nil
	Behind   []float64    `json:"tune_behind_db"` // by bar: how far the line that has the tune is from one that is followed; 0: not at all

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
	Bar          int     `json:"bar"`           // from 1
	LevelDB      float64 `json:"level_db"`      // re 20 µPa, unweighted, energy mean while it sounds
	StrengthDB   float64 `json:"strength_db"`   // what the shaped performance aims at: weighted as the ear weighs, on usual notes, energy mean
	AudibilityDB float64 `json:"audibility_db"` // as a voice: its share of what a listener follows, 0 is all
	LineDB       float64 `json:"line_db"`       // of all who play its line together: over what all other lines mask, median
	MaskingDB    float64 `json:"masking_db"`    // over what all others mask, median; audibility_db in reports without a "version"
	DrawDB       float64 `json:"draw_db"`       // how much less its notes draw than those that draw most in the bar
	Line         string  `json:"line"`          // the first of the parts with which it is one line
	State        State   `json:"state"`
}

// Warning is a stretch in which a part cannot be heard, in words.
type Warning struct {
	Part     string   `json:"part"`
	FirstBar int      `json:"first_bar"`
	LastBar  int      `json:"last_bar"`
	By       []string `json:"covered_by"` // the parts that cover it most; never nil
	What     string   `json:"what"`       // each a sentence
	Why      string   `json:"why"`
	Try      string   `json:"try"`
	Text     string   `json:"text"` // the bars and all three

	alike string // the same for warnings of the same case
	part  int    // its number in the report's parts
}

// aCase is a warning and those that are like it, which are less serious.
type aCase struct {
	Warning
	at       int // number in the report's warnings
	likewise []int
}

// cases are the warnings, those of the same case under the most serious of them.
func (r *Report) cases() (all []aCase) {
	of := map[string]int{}
	for i, w := range r.Warnings {
		if n, known := of[w.alike]; known {
			all[n].likewise = append(all[n].likewise, i)
			continue
		}
		of[w.alike] = len(all)
		all = append(all, aCase{Warning: w, at: i})
	}
	for i := range all {
		slices.SortFunc(all[i].likewise, func(a, b int) int { return cmp.Compare(r.Warnings[a].FirstBar, r.Warnings[b].FirstBar) })
	}
	return all
}

// text tells a case in words.
func (r *Report) text(c *aCase, by *naming) string {
	switch n := len(c.likewise); n {
	case 0:
		return c.Text
	case 1:
		w := &r.Warnings[c.likewise[0]]
		return c.Text + " The same in " + by.span(w.FirstBar, w.LastBar) + "."
	default:
		words := make([]string, n)
		for i, at := range c.likewise {
			words[i] = by.numbers(r.Warnings[at].FirstBar, r.Warnings[at].LastBar)
		}
		return c.Text + " The same in " + by.unit + "s " + layout.List(words, ", ", "and") + "."
	}
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
func (p *PartReport) Share(s State) (bars int) {
	for i := range p.Bars {
		if p.Bars[i].State == s {
			bars++
		}
	}
	return bars
}

// result lays out what was heard.
func (a *analysis) result(title string, opt Options, leftOut []string, stretches [places][]stretch) *Result {
	r := &Result{Title: title, Where: opt.Where, Unit: a.score.unit, Bars: len(a.bars), LeftOut: leftOut}
	r.naming = naming{a.score.unit, printedIn(opt.Piece, a.score.quarters), marksIn(opt.Piece, a.score.quarters)}
	r.heard = a
	for _, s := range stretches[hall] {
		if s.what != "" {
			r.stretches = append(r.stretches, s)
		}
	}
	for in := range places {
		report := Report{Place: in.String(), Warnings: []Warning{}}
		for _, p := range a.score.parts {
			report.Parts = append(report.Parts, PartReport{Name: p.name, Instrument: p.instrument, Players: p.players, PlayersBy: p.by, Doubts: p.doubts, Bars: []BarReport{}})
		}
		by := make([]float64, len(a.score.parts))
		for bar, parts := range a.bars {
			report.Behind = append(report.Behind, tenth(parts.tuneBehind(in, by[:len(parts)])))
			for _, p := range parts {
				h := &p.heard[in]
				to := &report.Parts[p.part]
				to.Bars = append(to.Bars, BarReport{bar + 1, tenth(h.levelDB), tenth(h.aimDB), tenth(h.shareDB), tenth(h.lineDB), tenth(h.audibilityDB), tenth(-min(10*p.behind*math.Log10E, -leastShareDB)), a.score.parts[p.line].name, h.state})
			}
		}
		for i := range stretches[in] {
			s := &stretches[in][i]
			if s.what == "" {
				report.untold++
				continue
			}
			report.Warnings = append(report.Warnings, Warning{
				Part: a.score.parts[s.part].name, FirstBar: s.first + 1, LastBar: s.last + 1, By: s.by, What: s.what, Why: s.why, Try: s.try,
				Text:  strings.Join([]string{r.naming.span(s.first+1, s.last+1) + ", " + s.what, s.why, s.try}, " "),
				alike: s.alike, part: s.part,
			})
		}
		r.Reports = append(r.Reports, report)
	}
	return r
}

// tenth rounds to a tenth of a dB, towards the lesser: a state stays true of what it
// is told with, as 5.97 is blended and not 6.0.
func tenth(db float64) float64 { return math.Floor(db*10+1e-9) / 10 }
