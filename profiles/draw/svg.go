package draw

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/profiles/svg"
)

// The picture: panels two abreast, sizes in units of the viewBox.
const (
	pictureMargin = 24.0
	headHeight    = 92.0
	panelWidth    = 440.0
	panelHeight   = 344.0
	plotLeft      = 52.0
	plotTop       = 44.0
	plotWidth     = 340.0
	plotHeight    = 180.0
	wordsAt       = 276.0 // below the names of the horizontal axis
	wordsColumns  = 66    // characters of the words under a plot
	headColumns   = 124
)

// strokes tell curves apart by colour, by dashes and by their names. Source of the
// colours: M. Okabe and K. Ito, "Color Universal Design", 2008 (from memory), blue,
// vermilion and bluish green, which people see apart whatever their colour vision.
var strokes = [3]struct{ colour, dash string }{
	{"#0072B2", ""}, {"#D55E00", "7 4"}, {"#009E73", "2 3"},
}

// SVG draws the curves of a profile as a picture that needs nothing else: no
// scripts, no fonts, no other files. Its description says what the curves say.
func SVG(w io.Writer, p *expr.Profile) error {
	ps := panels(p)
	columns := min(len(ps), 2)
	rows := (len(ps) + columns - 1) / columns
	width := 2*pictureMargin + 2*panelWidth
	height := headHeight + float64(rows)*panelHeight + pictureMargin
	b := bufio.NewWriter(w)
	id := "swellbox-" + safeID(p.Name)
	fmt.Fprintf(b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g" role="img" aria-labelledby="%s-title %s-desc" font-family="sans-serif" font-size="12" fill="#222222">`+"\n",
		width, height, width, height, id, id)
	var desc []string
	for _, pl := range ps {
		desc = append(desc, pl.title+". "+strings.Join(pl.words, " "))
	}
	fmt.Fprintf(b, "<title id=\"%s-title\">Curves of the profile %s</title>\n<desc id=\"%s-desc\">%s</desc>\n", id, svg.Escaped(p.Name), id, svg.Escaped(strings.Join(desc, " ")))
	fmt.Fprintf(b, "<rect width=\"%g\" height=\"%g\" fill=\"#ffffff\"/>\n", width, height)
	fmt.Fprintf(b, "<text x=\"%g\" y=\"34\" font-size=\"20\" font-weight=\"bold\">%s</text>\n", pictureMargin, svg.Escaped(p.Name))
	for i, l := range wrapped(profiles.Describe(p), headColumns) {
		fmt.Fprintf(b, "<text x=\"%g\" y=\"%g\">%s</text>\n", pictureMargin, 53+15*float64(i), svg.Escaped(l))
	}
	for i, pl := range ps {
		x := pictureMargin + float64(i%2)*panelWidth
		y := headHeight + float64(i/2)*panelHeight
		fmt.Fprintf(b, "<g transform=\"translate(%g %g)\">\n", x, y)
		pl.draw(b)
		fmt.Fprintln(b, "</g>")
	}
	fmt.Fprintln(b, "</svg>")
	if err := b.Flush(); err != nil {
		return fmt.Errorf("cannot draw the profile %s: %w", p.Name, err)
	}
	return nil
}

// safeID is s as part of an identifier.
func safeID(s string) string {
	return strings.Map(func(c rune) rune {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' {
			return c
		}
		return '_'
	}, s)
}

func (a axis) across(v float64) float64 { return plotLeft + plotWidth*a.ratio(v) }

func (a axis) up(v float64) float64 { return plotTop + plotHeight*(1-a.ratio(v)) }

// draw draws a panel with its upper left corner at the origin.
func (pl panel) draw(w io.Writer) {
	const bottom = plotTop + plotHeight
	fmt.Fprintf(w, "<text x=\"0\" y=\"14\" font-size=\"14\" font-weight=\"bold\">%s</text>\n", svg.Escaped(pl.title))
	fmt.Fprintf(w, "<text x=\"0\" y=\"30\" fill=\"#555555\">%s</text>\n", svg.Escaped(pl.y.label))
	for _, t := range pl.y.ticks {
		y := pl.y.up(t.at)
		fmt.Fprintf(w, "<line x1=\"%g\" y1=\"%.1f\" x2=\"%g\" y2=\"%.1f\" stroke=\"#dddddd\"/>", plotLeft, y, plotLeft+plotWidth, y)
		fmt.Fprintf(w, "<text x=\"%g\" y=\"%.1f\" text-anchor=\"end\">%s</text>\n", plotLeft-8, y+4, svg.Escaped(t.text))
	}
	for _, t := range pl.x.ticks {
		x := pl.x.across(t.at)
		fmt.Fprintf(w, "<line x1=\"%.1f\" y1=\"%g\" x2=\"%.1f\" y2=\"%g\" stroke=\"#888888\"/>", x, bottom, x, bottom+5)
		fmt.Fprintf(w, "<text x=\"%.1f\" y=\"%g\" text-anchor=\"middle\">%s</text>\n", x, bottom+18, svg.Escaped(t.text))
	}
	fmt.Fprintf(w, "<path d=\"M%g %gV%gH%g\" fill=\"none\" stroke=\"#888888\"/>\n", plotLeft, plotTop, bottom, plotLeft+plotWidth)
	fmt.Fprintf(w, "<text x=\"%g\" y=\"%g\" text-anchor=\"end\" fill=\"#555555\">%s</text>\n", plotLeft+plotWidth, bottom+33, svg.Escaped(pl.x.label))
	for i, l := range pl.lines {
		pl.curve(w, i, l)
	}
	if len(pl.lines) > 1 {
		pl.key(w)
	}
	at := wordsAt
	for _, words := range pl.words {
		for _, l := range wrapped(words, wordsColumns) {
			fmt.Fprintf(w, "<text x=\"0\" y=\"%g\">%s</text>\n", at, svg.Escaped(l))
			at += 15
		}
	}
}

// curve draws one line with its marks.
func (pl panel) curve(w io.Writer, i int, l line) {
	const pieces = 120
	s := strokes[i%len(strokes)]
	var d strings.Builder
	for j := range pieces + 1 {
		x := pl.x.lo + (pl.x.hi-pl.x.lo)*float64(j)/pieces
		fmt.Fprintf(&d, "%c%.1f %.1f", "ML"[min(j, 1)], pl.x.across(x), pl.y.up(l.y(x)))
	}
	dash := ""
	if s.dash != "" {
		dash = fmt.Sprintf(" stroke-dasharray=\"%s\"", s.dash)
	}
	fmt.Fprintf(w, "<path d=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"2.5\"%s/>\n", d.String(), s.colour, dash)
	for _, x := range l.dots {
		fmt.Fprintf(w, "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"4\" fill=\"#ffffff\" stroke=\"%s\" stroke-width=\"2\"/>\n", pl.x.across(x), pl.y.up(l.y(x)), s.colour)
	}
}

// key names the curves beside the title of the vertical axis.
func (pl panel) key(w io.Writer) {
	const y = 27.0
	x := plotLeft + plotWidth
	for i := len(pl.lines) - 1; i >= 0; i-- {
		s := strokes[i%len(strokes)]
		x -= math.Ceil(6.5*float64(len(pl.lines[i].name))) + 8
		fmt.Fprintf(w, "<text x=\"%g\" y=\"%g\">%s</text>\n", x, y+4, svg.Escaped(pl.lines[i].name))
		x -= 34
		fmt.Fprintf(w, "<line x1=\"%g\" y1=\"%g\" x2=\"%g\" y2=\"%g\" stroke=\"%s\" stroke-width=\"2.5\" stroke-dasharray=\"%s\"/>\n", x, y, x+28, y, s.colour, orSolid(s.dash))
		x -= 10
	}
}

func orSolid(dash string) string {
	if dash == "" {
		return "none"
	}
	return dash
}
