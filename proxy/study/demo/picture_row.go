package demo

import (
	"fmt"
)

// row is a part brought to the resolution of the picture.
type row struct {
	part        PartView
	raw, shaped []column
	vibrato     []column
	notes       []Span  // the time in which a note sounds
	compared    bool    // there is raw and shaped to compare
	least, most float64 // shaped minus raw, dB
	deepest     float64 // vibrato, cents
}

func (p *plot) row(part PartView) row {
	on := p.sounding(part.Notes)
	r := row{
		part:    part,
		raw:     p.columns(part.Raw, on),
		shaped:  p.columns(part.Shaped, on),
		vibrato: p.columns(part.Vibrato, on),
		notes:   on,
	}
	for x := range plotWidth {
		if d, ok := r.change(x); ok {
			if !r.compared {
				r.compared, r.least, r.most = true, d, d
			}
			r.least, r.most = min(r.least, d), max(r.most, d)
		}
		r.deepest = max(r.deepest, r.vibrato[x].value)
	}
	return r
}

// change is shaped minus raw in one pixel, in dB.
func (r *row) change(x int) (db float64, ok bool) {
	return r.shaped[x].value - r.raw[x].value, r.raw[x].known && r.shaped[x].known
}

// unchangedDB is the difference below which a level counts as the same: well
// under the 1 dB or so that can just be heard (acousticslab.org, RECA293, module 3A).
const unchangedDB = 0.2

func (r *row) levelText() string {
	switch {
	case !r.compared:
		return "no level to compare"
	case r.least > -unchangedDB && r.most < unchangedDB:
		return "level as it came in"
	}
	return fmt.Sprintf("level %s to %s dB", decibels(r.least), decibels(r.most))
}

func (r *row) vibratoText() string {
	if r.deepest < 0.5 {
		return "no vibrato"
	}
	return fmt.Sprintf("vibrato to %.0f cents", r.deepest)
}

// line is the stepped line of a level, broken where no note sounds.
func (r *row) line(p *plot, cols []column, top int) *path {
	var l path
	for x, c := range cols {
		if !c.known {
			continue
		}
		left, y := float64(plotLeft+x), float64(top)+p.y(c.value)
		if x == 0 || !cols[x-1].known {
			l.move(left, y)
		}
		l.line(left, y)
		l.line(left+1, y)
	}
	return &l
}

// between is the area between raw and shaped where their difference has the
// given sign.
func (r *row) between(p *plot, sign float64, top int) *path {
	var a path
	in := func(x int) bool {
		d, ok := r.change(x)
		return ok && d*sign > unchangedDB
	}
	for x := 0; x < plotWidth; x++ {
		if !in(x) {
			continue
		}
		from := x
		a.move(float64(plotLeft+x), float64(top)+p.y(r.shaped[x].value))
		for ; x < plotWidth && in(x); x++ {
			y := float64(top) + p.y(r.shaped[x].value)
			a.line(float64(plotLeft+x), y)
			a.line(float64(plotLeft+x+1), y)
		}
		for b := x - 1; b >= from; b-- {
			y := float64(top) + p.y(r.raw[b].value)
			a.line(float64(plotLeft+b+1), y)
			a.line(float64(plotLeft+b), y)
		}
		a.close()
	}
	return &a
}

// band is the vibrato's depth above the foot of its band.
func (r *row) band(p *plot, top int) *path {
	var a path
	foot := float64(top + vibratoTop + vibratoHigh)
	height := func(x int) float64 {
		return vibratoHigh * min(max(r.vibrato[x].value, 0), p.deep) / p.deep
	}
	for x := 0; x < plotWidth; x++ {
		if height(x) < 0.1 {
			continue
		}
		a.move(float64(plotLeft+x), foot)
		for ; x < plotWidth && height(x) >= 0.1; x++ {
			a.line(float64(plotLeft+x), foot-height(x))
			a.line(float64(plotLeft+x+1), foot-height(x))
		}
		a.line(float64(plotLeft+x), foot)
		a.close()
	}
	return &a
}

// noteBars are the bars that say where a note sounds, none thinner than a pixel.
func (r *row) noteBars(p *plot, top int) *path {
	var a path
	y := float64(top + notesTop)
	drawn := 0.0
	for _, n := range r.notes {
		left := max(p.x(n.From), drawn)
		right := max(p.x(n.To), left+1)
		if p.x(n.To) <= drawn {
			continue // the pixel is taken
		}
		a.move(left, y)
		a.line(right, y)
		a.line(right, y+notesHeight)
		a.line(left, y+notesHeight)
		a.close()
		drawn = right
	}
	return &a
}
