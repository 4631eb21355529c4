package balance

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
)

//go:embed page.html
var pageText string

var page = template.Must(template.New("balance").Parse(pageText))

// barsAcross is how many bars the page's tables have side by side: as many as stand
// on a screen of 1280 pixels and on a sheet of paper. More follow under them, as the
// systems of a score do.
const barsAcross = 20

// HTML writes the report as one page that needs nothing else: no script, no font, no
// picture. It is XML as well. An error is that of w.
func (r *Result) HTML(w io.Writer) error {
	v := pageView{Title: r.Title, Size: r.size(), Where: r.places(), Unit: r.Unit, Modest: modest}
	for i, s := range states {
		v.Key = append(v.Key, keyView{State(i).class(), s.letter, s.name, s.meaning})
		v.States = append(v.States, s.name)
	}
	for i := range r.Reports[0].Parts {
		p := &r.Reports[0].Parts[i]
		row := summaryRow{Name: p.Name, Instrument: p.Instrument}
		for j := range r.Reports {
			s := r.Reports[j].Parts[i].shares()
			row.Shares = append(row.Shares, s[:])
		}
		v.Summary = append(v.Summary, row)
	}
	for i := range r.Reports {
		v.Places = append(v.Places, r.Reports[i].view(&r.naming, r.Bars))
	}
	return page.Execute(w, v)
}

type pageView struct {
	Title, Size, Where, Unit, Modest string
	Key                              []keyView
	States                           []string
	Summary                          []summaryRow
	Places                           []placeView
}

type keyView struct{ Class, Letter, Name, Meaning string }

type summaryRow struct {
	Name, Instrument string
	Shares           [][]string // by place
}

type placeView struct {
	Name, Where, Tally string
	Cases              []caseView
	More               string
	Strips             []stripView
}

// caseView is a warning with links to its cells, and to those of the warnings like it.
type caseView struct {
	ID             string
	Bars           linkView
	What, Why, Try string
	Likewise       []linkView
}

type linkView struct{ To, Text string }

// systemView is the bars that stand side by side, and the parts that sound in them.
type systemView struct {
	Bars  []string
	Parts []partView
}

type partView struct {
	Name  string
	Cells []cellView
}

// cellView is one bar; without a Letter the part is silent.
type cellView struct {
	Class, Letter string // of the state
	DB            string
	ID            string // of the first cell of a warning
	To            string // the warning that is about the cell
}

// class is a state's in the page.
func (s State) class() string {
	if s.quiet() {
		return "quiet " + s.Letter()
	}
	return s.Letter()
}

func (r *Report) view(by *naming, bars int) placeView {
	v := placeView{Name: r.Place, Where: r.place(), More: r.more()}
	rows := make([]partView, len(r.Parts))
	for i := range r.Parts {
		rows[i] = r.Parts[i].row(bars)
	}
	cases := r.cases()
	v.Tally = tellCases(len(cases))
	warned := map[int]string{}
	for n := range cases {
		c := &cases[n]
		view := caseView{ID: fmt.Sprintf("%s-%d", r.Place, n+1), What: c.What, Why: c.Why, Try: c.Try}
		link := func(at int) linkView {
			w := &r.Warnings[at]
			for bar := w.FirstBar; bar <= w.LastBar; bar++ {
				warned[bar] = view.ID
			}
			cells := rows[w.part].Cells[w.FirstBar-1 : w.LastBar]
			for i := range cells {
				cells[i].To = view.ID
				cells[i].Class += " told"
			}
			cells[0].ID = fmt.Sprintf("%s-cell-%d", r.Place, at+1)
			return linkView{cells[0].ID, by.span(w.FirstBar, w.LastBar)}
		}
		view.Bars = link(c.at)
		for _, at := range c.likewise {
			view.Likewise = append(view.Likewise, link(at))
		}
		v.Cases = append(v.Cases, view)
	}
	v.Strips = r.strips(by, bars, warned)
	for i := range v.Strips {
		end := min((i+1)*barsInStrip, bars)
		for first := i * barsInStrip; first < end; first += barsAcross {
			v.Strips[i].Systems = append(v.Strips[i].Systems, system(by, rows, first, min(first+barsAcross, end)))
		}
	}
	return v
}

// system is the bars from first to before end, counted from 0, without the parts that
// rest in all of them.
func system(by *naming, rows []partView, first, end int) (v systemView) {
	for bar := first; bar < end; bar++ {
		v.Bars = append(v.Bars, by.number(bar+1))
	}
	for _, row := range rows {
		cells := row.Cells[first:end]
		for i := range cells {
			if cells[i].Letter != "" {
				v.Parts = append(v.Parts, partView{row.Name, cells})
				break
			}
		}
	}
	return v
}

// row has a cell for every bar.
func (p *PartReport) row(bars int) partView {
	v := partView{Name: p.Name, Cells: make([]cellView, bars)}
	for _, b := range p.Bars {
		h := heard{audibilityDB: b.MaskingDB, state: b.State}
		v.Cells[b.Bar-1] = cellView{Class: b.State.class(), Letter: b.State.Letter(), DB: strings.TrimPrefix(signed(h.told()), "+")}
	}
	return v
}
