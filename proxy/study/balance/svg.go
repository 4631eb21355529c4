package balance

import (
	"fmt"
	"io"
	"math"
	"slices"

	"swellbox/profiles/svg"
)

// Measures of the picture in pixels.
const (
	svgWidth  = 1200
	svgLeft   = 190 // where the bars begin
	svgRight  = 1180
	svgTop    = 118 // under title and key
	svgRow    = 20
	svgStrip  = 64  // above each place: its name and the bar numbers
	svgLetter = 11  // least width of a cell with a letter
	svgCells  = 330 // most columns
	gap       = 0.5 // between columns
)

// The same colours and patterns as in the page: what is lost stands out, and what
// is in front; the rest is pale. Blue is set against orange, and patterns and
// letters tell them apart without colour.
const svgStyle = `
text{font-family:system-ui,sans-serif;font-size:14px;fill:#1b1b1b}
.title{font-size:24px;font-weight:600}
.place{font-size:17px;font-weight:600}
.soft{fill:#484848;font-size:13px}
.letter{font-size:11px;text-anchor:middle;paint-order:stroke;stroke:#fff;stroke-opacity:.7;stroke-width:3px}
.line{stroke:#e2e2e2;fill:none}
.L{fill:url(#L)}.C,.B{fill:#f4f3ee}.H{fill:#d3e5f3}.F{fill:#5b9bd0}.A{fill:#fff;stroke:#0d2f5b;stroke-dasharray:2 2}
`

const svgPatterns = `<defs>
<pattern id="L" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="6" height="6" fill="#fde6cf"/><rect width="2.5" height="6" fill="#ee9f52"/></pattern>
</defs>
`

// heatMap is the picture as it is written.
type heatMap struct {
	svg.Canvas
	each, columns int // bars a column, and columns
	width         float64
}

// SVG writes a self-contained picture: the state of every part over the bars, for each
// place. In a long piece several bars share a column, which shows the middle one of
// their states. An error is that of w.
func (r *Result) SVG(w io.Writer) error {
	m := &heatMap{}
	m.each, m.columns = columns(r.Bars, svgCells)
	m.width = float64(svgRight-svgLeft) / float64(m.columns)
	height := svgTop + len(r.Reports)*(svgStrip+svgRow*len(r.Reports[0].Parts)) + 50
	m.Open(svgWidth, height, "")
	m.About("Balance: "+r.Title, r.describe(), svgStyle, svgPatterns, svgWidth, height)
	m.text(20, 36, "title", shorten("Balance: "+r.Title, 80))
	about := fmt.Sprintf("%s; who is heard %s.", r.size(), r.places())
	if m.each > 1 {
		about += fmt.Sprintf(" A column is %d %ss, and shows the middle one of those in which the part sounds.", m.each, r.Unit)
	}
	m.text(20, 60, "soft", about)
	m.key(88)
	y := svgTop
	for i := range r.Reports {
		y = m.report(&r.Reports[i], r.Unit, y)
	}
	m.text(20, float64(height-18), "soft", modest)
	m.WriteString("</svg>\n")
	if _, err := w.Write(m.Bytes()); err != nil {
		return fmt.Errorf("cannot write the picture: %w", err)
	}
	return nil
}

// describe says in words what the picture shows, for those who cannot see it.
func (r *Result) describe() string {
	text := fmt.Sprintf("%s; who is heard %s.", r.size(), r.places())
	for i := range r.Reports {
		for j := range r.Reports[i].Parts {
			p := &r.Reports[i].Parts[j]
			text += fmt.Sprintf(" %s, %s:", p.Name, r.Reports[i].Place)
			for k := range states {
				if k > 0 {
					text += ","
				}
				text += fmt.Sprintf(" %s in %d", State(k), p.Share(State(k)))
			}
			text += fmt.Sprintf(" of %s.", count(len(p.Bars), r.Unit))
		}
	}
	return text
}

// key explains the patterns.
func (m *heatMap) key(y float64) {
	x := 20.0
	for _, s := range states {
		fmt.Fprintf(m, `<rect class="%s" x="%.0f" y="%.0f" width="26" height="18" stroke="#9a9a9a"/>`+"\n", s.letter, x, y-13)
		m.text(x+34, y+1, "", fmt.Sprintf("%s  %s", s.letter, s.name))
		x += 90 + 7.5*float64(len(s.name))
	}
	m.text(x, y+1, "", "white: a rest")
}

// report draws one place with its top at y, and gives where the next begins.
func (m *heatMap) report(r *Report, unit string, y int) int {
	m.text(20, float64(y+30), "place", r.place())
	m.numbers(unit, y+svgStrip-8)
	y += svgStrip
	for i := range r.Parts {
		p := &r.Parts[i]
		m.text(20, float64(y+15), "", shorten(p.Name, 20))
		fmt.Fprintf(m, `<path class="line" d="M20 %dH%d"/>`+"\n", y, svgRight)
		m.cells(p, y)
		y += svgRow
	}
	fmt.Fprintf(m, `<path class="line" d="M20 %dH%d"/>`+"\n", y, svgRight)
	return y
}

// numbers are those of the bars over the columns.
func (m *heatMap) numbers(unit string, y int) {
	m.text(svgLeft-30, float64(y), "soft", unit)
	step := 1
	for _, s := range []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000} {
		if step = s; float64(s)/float64(m.each)*m.width >= 34 {
			break
		}
	}
	for c := range m.columns {
		first := c*m.each + 1
		for bar := first; bar < first+m.each; bar++ {
			if bar == 1 || bar%step == 0 && float64(bar-1)/float64(m.each)*m.width >= 20 {
				fmt.Fprintf(m, `<text class="soft" text-anchor="middle" x="%.1f" y="%d">%d</text>`+"\n", m.x(c)+m.width/2, y, bar)
			}
		}
	}
}

func (m *heatMap) x(column int) float64 { return svgLeft + float64(column)*m.width }

// cells draws a part's columns: one path for each state, and the letters where there is
// room.
func (m *heatMap) cells(p *PartReport, y int) {
	var all []State              // of the column that is gathered
	at := make([]int, m.columns) // the state, −1 for a rest
	for i := range at {
		at[i] = -1
	}
	for i, b := range p.Bars {
		c := (b.Bar - 1) / m.each
		all = append(all, b.State)
		if i+1 == len(p.Bars) || (p.Bars[i+1].Bar-1)/m.each != c {
			slices.Sort(all)
			at[c] = int(all[(len(all)-1)/2])
			all = all[:0]
		}
	}
	for i, s := range states {
		style := ""
		if State(i).quiet() {
			style = ` style="fill:#6a6a6a"`
		}
		var d, letters []byte
		for c, is := range at {
			if is != i {
				continue
			}
			d = fmt.Appendf(d, "M%.1f %dh%.1fv%dh-%.1[3]fz", m.x(c), y+1, m.width-gap, svgRow-2)
			if m.width >= svgLetter {
				letters = fmt.Appendf(letters, `<text class="letter" x="%.1f" y="%d"%s>%s</text>`, m.x(c)+m.width/2, y+14, style, s.letter)
			}
		}
		if len(d) > 0 {
			fmt.Fprintf(m, "<path class=\"%s\" d=\"%s\"/>\n%s\n", s.letter, d, letters)
		}
	}
}

func (m *heatMap) text(x, y float64, class, s string) { m.Text(x, y, class, "start", s) }

// columns is how many bars share a column if there is room for so many columns.
func columns(bars, room int) (each, n int) {
	each = max(1, int(math.Ceil(float64(bars)/float64(room))))
	return each, (bars + each - 1) / each
}
