package balance

import (
	_ "embed"
	"html/template"
	"io"
	"strings"

	"swellbox/expr/acoustics"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("balance").Parse(pageText))

// HTML writes the report as one page that needs nothing else: no script, no font, no
// picture. It is XML as well. An error is that of w.
func (r *Result) HTML(w io.Writer) error {
	v := pageView{Title: r.Title, Size: r.size(), Places: r.places(), Unit: r.Unit, Modest: modest}
	for i := range r.Reports[0].Parts {
		p := &r.Reports[0].Parts[i]
		row := summaryRow{Name: p.Name, Instrument: p.Instrument}
		for j := range r.Reports {
			s := r.Reports[j].Parts[i].shares()
			row.Shares = append(row.Shares, s[:]...)
		}
		v.Summary = append(v.Summary, row)
	}
	for bar := range r.Bars {
		v.Bars = append(v.Bars, bar+1)
	}
	for i := range r.Reports {
		report := &r.Reports[i]
		s := senseView{Sense: report.Sense, Place: report.place(), Cases: report.cases(r.Unit), More: report.more()}
		s.Tally = tellCases(len(s.Cases))
		for j := range report.Parts {
			s.Parts = append(s.Parts, report.Parts[j].row(r.Bars))
		}
		v.Senses = append(v.Senses, s)
	}
	return page.Execute(w, v)
}

type pageView struct {
	Title, Size, Places, Unit, Modest string
	Summary                           []summaryRow
	Bars                              []int
	Senses                            []senseView
}

type summaryRow struct {
	Name, Instrument string
	Shares           []string
}

type senseView struct {
	Sense, Place, Tally string
	Cases               []string
	More                string
	Parts               []partView
}

type partView struct {
	Name  string
	Cells []cellView
}

// cellView is one bar; without a Letter the part is silent.
type cellView struct {
	Letter string // of the state, which is the cell's class too
	DB     string
}

// row has a cell for every bar.
func (p *PartReport) row(bars int) partView {
	v := partView{Name: p.Name, Cells: make([]cellView, bars)}
	for _, b := range p.Bars {
		h := heard{audibilityDB: b.AudibilityDB, state: b.State}
		v.Cells[b.Bar-1] = cellView{letter(b.State), strings.TrimPrefix(signed(h.told()), "+")}
	}
	return v
}

// letter stands for a state where there is no room for the word.
func letter(s acoustics.State) string { return strings.ToUpper(s.String()[:1]) }
