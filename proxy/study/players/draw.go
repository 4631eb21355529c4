package players

import (
	"fmt"
	"io"
	"math"
	"strings"

	"swellbox/profiles/svg"
)

// Measures of the picture, in its own units.
const (
	pictureWidth = 1200
	panelHeight  = 220
	panelGap     = 60
	panelLeft    = 70
	mostDrawn    = 3 // players
)

// Draw draws how loud and how fast ours and up to three players are, beat by beat, as SVG: ours in
// dark blue over the players in grey.
func (p *Piece) Draw(w io.Writer, ours *Take) error {
	us := p.Features(ours)
	all := []*Features{}
	for i := range p.Takes[:min(len(p.Takes), mostDrawn)] {
		all = append(all, p.Features(&p.Takes[i]))
	}
	d := &printer{w: w}
	height := 2*panelHeight + 3*panelGap
	d.f(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="sans-serif" font-size="13">`, pictureWidth, height)
	d.f("\n<title>%s: swellbox over %d players</title>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#fff\"/>\n", svg.Escaped(p.Name), len(all))
	first, last := p.span()
	p.panel(d, panelGap, "level of the highest notes, velocity", first, last, func(f *Features) []float64 { return p.topByBeat(f) }, us, all)
	p.panel(d, 2*panelGap+panelHeight, "length of the beat, log about the mean", first, last, func(f *Features) []float64 { return f.Tempo }, us, all)
	d.f("</svg>\n")
	return d.err
}

// panel draws one curve of every performance.
func (p *Piece) panel(d *printer, top int, title string, first, last float64, of func(*Features) []float64, us *Features, players []*Features) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, f := range append([]*Features{us}, players...) {
		for _, v := range known(of(f)) {
			lo, hi = min(lo, v), max(hi, v)
		}
	}
	d.f("<text x=\"%d\" y=\"%d\">%s: %s</text>\n", panelLeft, top-10, svg.Escaped(p.Name), title)
	for _, v := range []float64{lo, hi} {
		d.f("<text x=\"8\" y=\"%.0f\">%.2g</text>\n", height(v, lo, hi, top), v)
	}
	p.bars(d, top, first, last)
	for _, f := range players {
		curve(d, of(f), lo, hi, top, "#999", 1)
	}
	curve(d, of(us), lo, hi, top, "#1a4a8a", 2.5)
}

// bars draws the bar lines of the first metre.
func (p *Piece) bars(d *printer, top int, first, last float64) {
	n := float64(p.Metres[0].Beats)
	for b := math.Ceil(first/n) * n; b < last; b += n {
		x := panelLeft + (b-first)/(last-first)*(pictureWidth-panelLeft-20)
		d.f("<path d=\"M%.1f %dv%d\" stroke=\"#e4e4e4\"/>\n", x, top, panelHeight)
	}
}

func height(v, lo, hi float64, top int) float64 {
	return float64(top) + panelHeight*(1-(v-lo)/max(hi-lo, 1e-9))
}

func curve(d *printer, values []float64, lo, hi float64, top int, colour string, width float64) {
	var b strings.Builder
	move := "M"
	for i, v := range values {
		if math.IsNaN(v) {
			continue
		}
		x := panelLeft + float64(i)/float64(max(len(values)-1, 1))*(pictureWidth-panelLeft-20)
		fmt.Fprintf(&b, "%s%.1f %.1f", move, x, height(v, lo, hi, top))
		move = "L"
	}
	d.f("<path d=\"%s\" fill=\"none\" stroke=\"%s\" stroke-width=\"%g\"/>\n", b.String(), colour, width)
}

// topByBeat is the mean level of the highest notes of each beat.
func (p *Piece) topByBeat(f *Features) []float64 {
	first, last := p.span()
	sums, counts := make([]float64, int(last-first)+1), make([]float64, int(last-first)+1)
	for i, m := range p.moments() {
		if v := f.Top[i]; !math.IsNaN(v) {
			k := int(m.onset - first)
			sums[k] += v
			counts[k]++
		}
	}
	for k := range sums {
		sums[k] /= counts[k]
	}
	return sums
}
