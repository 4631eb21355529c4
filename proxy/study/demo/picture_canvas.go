package demo

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"swellbox/profiles/svg"
)

// canvas is the SVG as it is written.
type canvas struct{ svg.Canvas }

func (c *canvas) open(title, about string, height int) {
	if title == "" {
		title = "Before and after"
	}
	c.Open(pictureWidth, height, title)
	c.About(title, about, pictureStyle, "", pictureWidth, height)
	c.text(margin, 42, "title", "start", shorten(title, titleRunes))
}

func (c *canvas) text(x, y float64, class, anchor, s string) { c.Text(x, y, class, anchor, s) }

func (c *canvas) path(class string, p *path) {
	p.flush()
	if len(p.d) > 0 {
		fmt.Fprintf(c, "<path class=\"%s\" d=\"%s\"/>\n", class, p.d)
	}
}

// entry is one line or colour of a picture, in words.
type entry struct {
	class, words string
	thick        float64 // of the sample; 0: a step; negative: strokes
}

// legend says what the lines and colours are, three to a line from y down.
func (c *canvas) legend(y float64, entries []entry) {
	for i, k := range entries {
		x, y := []float64{margin, 430, 760}[i%3], y+float64(i/3*30)
		var s path
		switch {
		case k.thick == 0:
			s.move(x, y+8)
			s.line(x+17, y+8)
			s.line(x+17, y)
			s.line(x+36, y)
		case k.thick < 0:
			for i, high := range []float64{10, -6, 7, -8} {
				s.move(x+float64(3+10*i), y+4)
				s.line(x+float64(3+10*i), y+4-high)
			}
		default:
			s.move(x, y+4-k.thick/2)
			s.line(x+36, y+4-k.thick/2)
			s.line(x+36, y+4+k.thick/2)
			s.line(x, y+4+k.thick/2)
			s.close()
		}
		c.path(k.class, &s)
		c.text(x+46, y+10, "", "start", k.words)
	}
}

// header is the legend in words and what the scales are.
func (c *canvas) header(view View, p *plot) {
	c.legend(72, []entry{
		{"raw", "raw: as the notation program plays it", 0},
		{"louder", "orange: shaped is louder", 14},
		{"vibrato", "vibrato depth while a note sounds", 14},
		{"shaped", "shaped: as a player would play it", 0},
		{"softer", "light blue: shaped is softer", 14},
		{"note", "a note sounds", notesHeight},
	})
	if len(view.Parts) == 0 {
		return
	}
	c.text(margin, 146, "soft", "start", fmt.Sprintf(
		"Level in dB against the instrument's mf, each row from %s to %s dB. Vibrato in cents (c), peak to peak, from 0 to %.0f.", whole(p.lo), whole(p.hi), p.deep))
	along := "Along the bottom: minutes and seconds."
	if len(p.bars) > 0 {
		along = "Along the top: bars. " + along
	}
	c.text(margin, 170, "soft", "start", along)
}

// grid is the bar numbers above a group of rows and the bar lines through it.
func (c *canvas) grid(p *plot, top, bottom int) {
	if len(p.bars) == 0 {
		return
	}
	var thin, thick path
	step := p.barStep()
	every := plotWidth/len(p.bars) >= 7
	c.text(plotLeft-10, float64(top-8), "tick", "end", "bar")
	for i, at := range p.bars {
		if at < 0 || at > p.end {
			continue
		}
		marked := i%step == 0 // 1, 3, 5 …
		if step >= 5 {
			marked = i == 0 || (i+1)%step == 0 // 1, 5, 10 …
		}
		x := p.x(at)
		if marked {
			thick.move(x, float64(top-4))
			thick.line(x, float64(bottom))
			if i == 0 || x-p.x(p.bars[0]) >= 30 {
				c.text(x, float64(top-8), "tick", "middle", strconv.Itoa(i+1))
			}
		} else if every {
			thin.move(x, float64(top))
			thin.line(x, float64(bottom))
		}
	}
	c.path("bar", &thin)
	c.path("mark", &thick)
}

// rule is the line between two rows.
func (c *canvas) rule(y int) {
	var l path
	l.move(margin, float64(y))
	l.line(pictureWidth-margin, float64(y))
	c.path("rule", &l)
}

// row draws one part with its top at y.
func (c *canvas) row(p *plot, r *row, y int) {
	c.WriteString("<g><title>")
	c.WriteString(svg.Escaped(r.part.Name))
	c.WriteString("</title>\n")
	c.rule(y)
	top := float64(y)
	c.text(margin, top+28, "name", "start", shorten(r.part.Name, nameRunes))
	c.text(margin, top+51, "soft", "start", shorten(r.part.Profile, nameRunes+4))
	c.text(margin, top+77, "", "start", r.levelText())
	c.text(margin, top+101, "", "start", r.vibratoText())
	var level path
	for _, db := range p.levels() {
		at := top + p.y(db)
		level.move(plotLeft, at)
		level.line(plotRight, at)
		c.text(plotRight+8, at+5, "tick", "start", whole(db))
	}
	c.path("level", &level)
	c.path("louder", r.between(p, +1, y))
	c.path("softer", r.between(p, -1, y))
	c.path("raw", r.line(p, r.raw, y))
	c.path("shaped", r.line(p, r.shaped, y))
	if len(r.part.Notes) > 0 {
		c.path("note", r.noteBars(p, y))
	}
	if r.deepest >= 0.5 {
		c.path("vibrato", r.band(p, y))
		c.text(plotRight+8, top+vibratoTop+vibratoHigh-1, "tick", "start", fmt.Sprintf("%.0f c", p.deep))
	}
	c.WriteString("</g>\n")
}

// times is the time axis under the last row.
func (c *canvas) times(p *plot, y int) {
	var axis path
	for at := time.Duration(0); at <= p.end; at += p.timeStep() {
		x := p.x(at)
		axis.move(x, float64(y))
		axis.line(x, float64(y+6))
		c.text(x, float64(y+24), "tick", "middle", clock(at))
	}
	c.text(plotLeft-40, float64(y+24), "tick", "end", "time")
	c.path("rule", &axis)
}

// whole is a level without decimals, by the minus sign proper.
func whole(db float64) string { return strings.Replace(strconv.Itoa(int(db)), "-", "−", 1) }

// path is the data of an SVG path. Points on a straight line between others are left out.
type path struct {
	d      []byte
	x, y   float64 // the last point, written or waiting
	px, py float64 // the point before it, if it waits
	waits  bool
}

func (p *path) move(x, y float64) {
	p.flush()
	p.point('M', x, y)
	p.x, p.y = x, y
}

func (p *path) line(x, y float64) {
	if x == p.x && y == p.y {
		return
	}
	down := p.px == p.x && x == p.x && (y-p.y)*(p.y-p.py) > 0
	across := p.py == p.y && y == p.y && (x-p.x)*(p.x-p.px) > 0
	if !down && !across {
		p.flush()
	}
	if !p.waits {
		p.px, p.py = p.x, p.y
	}
	p.x, p.y, p.waits = x, y, true
}

func (p *path) close() {
	p.flush()
	p.d = append(p.d, 'Z')
}

// flush writes the point that waits to be continued.
func (p *path) flush() {
	if !p.waits {
		return
	}
	p.waits = false
	switch {
	case p.x == p.px:
		p.d = append(append(p.d, 'V'), svg.Number(p.y)...)
	case p.y == p.py:
		p.d = append(append(p.d, 'H'), svg.Number(p.x)...)
	default:
		p.point('L', p.x, p.y)
	}
}

func (p *path) point(op byte, x, y float64) {
	p.d = append(append(p.d, op), svg.Number(x)...)
	p.d = append(append(p.d, ' '), svg.Number(y)...)
}
