package demo

import (
	"fmt"
	"io"
	"math"
	"strings"
)

// Measures of the picture of curves, in pixels, where they are not those of [Picture].
const (
	curvesHeader = 208
	tempoHeight  = 70
	tempoRow     = 96
	lateTop      = rowHeight + 2 // of the onsets' lane, from the row's top
	lateHeight   = 40
	pedalTop     = lateTop + lateHeight + 8
	pedalHeight  = 8
	curvesRow    = lateTop + lateHeight + 10 // of a part without a pedal
	pedalledRow  = pedalTop + pedalHeight + 10
	curvesGroup  = 5   // rows between two lines of bar numbers
	mostLate     = 200 // ms to the edge of the onsets' lane
)

// Curves writes a self-contained SVG of what moves: the ensemble's tempo, and for each part
// its level before and after shaping, its vibrato, by how much each note starts early or
// late, and its pedal. An error is that of w.
func Curves(w io.Writer, view View) error {
	var c canvas
	p := newPlot(view)
	rows := make([]row, len(view.Parts))
	height := curvesHeader + stripHeight + tempoRow + footerHeight
	for i, part := range view.Parts {
		rows[i] = p.row(part)
		if height += curvesHeight(&rows[i]); i%curvesGroup == 0 {
			height += stripHeight
		}
	}
	c.open(view.Title+": what moves", aboutCurves(p, rows), height)
	c.legend(72, []entry{
		{"raw", "raw: as the notation program plays it", 0},
		{"louder", "orange: shaped is louder", 14},
		{"vibrato", "vibrato depth while a note sounds", 14},
		{"shaped", "shaped: as a player would play it", 0},
		{"softer", "light blue: shaped is softer", 14},
		{"stem", "a note starts late (up) or early (down)", -1},
	})
	for i, words := range []string{
		fmt.Sprintf("Level in dB against the instrument's mf, each row from %s to %s dB. Vibrato in cents (c), peak to peak, from 0 to %.0f.", whole(p.lo), whole(p.hi), p.deep),
		fmt.Sprintf("Starts: a stroke at each note's written time, cut at %d ms either way. Green bars: the pedal is down.", mostLate),
		"Tempo: the ensemble's in percent of the written, by half bars, from the starts of all notes.",
	} {
		c.text(margin, 146+float64(i)*24, "soft", "start", words)
	}
	y := curvesHeader + stripHeight
	c.grid(p, y, y+tempoRow)
	c.tempo(p, view.Tempo, y)
	y += tempoRow
	c.rule(y)
	for i := range rows {
		if i%curvesGroup == 0 {
			y += stripHeight
			bottom := y
			for j := i; j < min(i+curvesGroup, len(rows)); j++ {
				bottom += curvesHeight(&rows[j])
			}
			c.grid(p, y, bottom)
		}
		c.row(p, &rows[i], y)
		c.starts(p, &rows[i], y)
		c.pedal(p, &rows[i], y)
		y += curvesHeight(&rows[i])
		if i+1 == len(rows) || (i+1)%curvesGroup == 0 {
			c.rule(y)
		}
	}
	c.times(p, y)
	c.WriteString("</svg>\n")
	if _, err := w.Write(c.Bytes()); err != nil {
		return fmt.Errorf("cannot write the curves: %w", err)
	}
	return nil
}

// aboutCurves says in words what the curves show.
func aboutCurves(p *plot, rows []row) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Tempo of the ensemble, and level, vibrato, starts of notes and pedal of %s over %s, %s long.",
		count(len(rows), "part"), count(len(p.bars), "bar"), clock(p.end))
	for _, r := range rows {
		fmt.Fprintf(&b, " %s: %s, %s, %s.", r.part.Name, r.levelText(), r.vibratoText(), startsText(r.part.Late))
	}
	return b.String()
}

// startsText says by how much notes start early or late.
func startsText(late []Sample) string {
	if len(late) == 0 {
		return "no notes"
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, l := range late {
		least, most = min(least, l.Value), max(most, l.Value)
	}
	if math.Round(least) == 0 && math.Round(most) == 0 {
		return "starts on time"
	}
	return fmt.Sprintf("starts %s to %s ms", signed(least), signed(most))
}

// signed is a whole number with its sign, by the minus sign proper.
func signed(v float64) string {
	if v = math.Round(v); v == 0 {
		return "0" // never -0
	}
	return strings.Replace(fmt.Sprintf("%+.0f", v), "-", "−", 1)
}

// curvesHeight is that of a part's row.
func curvesHeight(r *row) int {
	if len(r.part.Pedal) > 0 {
		return pedalledRow
	}
	return curvesRow
}

// tempo draws the ensemble's tempo with its top at y.
func (c *canvas) tempo(p *plot, tempo []Sample, y int) {
	c.rule(y)
	lo, hi := 95.0, 105.0
	for _, s := range tempo {
		lo, hi = min(lo, math.Floor(s.Value/5)*5), max(hi, math.Ceil(s.Value/5)*5)
	}
	top := float64(y + 12)
	at := func(percent float64) float64 { return top + tempoHeight*(hi-percent)/(hi-lo) }
	c.text(margin, float64(y+28), "name", "start", "Ensemble")
	if len(tempo) > 0 {
		least, most := tempo[0].Value, tempo[0].Value
		for _, s := range tempo {
			least, most = min(least, s.Value), max(most, s.Value)
		}
		c.text(margin, float64(y+54), "", "start", fmt.Sprintf("tempo %.0f to %.0f %%", least, most))
	}
	var level, line path
	for _, percent := range []float64{lo, 100, hi} {
		level.move(plotLeft, at(percent))
		level.line(plotRight, at(percent))
		if percent == 100 || math.Abs(at(percent)-at(100)) > 16 { // else they would overlap
			c.text(plotRight+8, at(percent)+5, "tick", "start", fmt.Sprintf("%.0f %%", percent))
		}
	}
	c.path("level", &level)
	for i, s := range tempo {
		end := p.end
		if i+1 < len(tempo) {
			end = tempo[i+1].At
		}
		if i == 0 {
			line.move(p.x(s.At), at(s.Value))
		}
		line.line(p.x(s.At), at(s.Value))
		line.line(p.x(end), at(s.Value))
	}
	c.path("shaped", &line)
}

// starts draws the lane of early and late starts of a row with its top at y.
func (c *canvas) starts(p *plot, r *row, y int) {
	c.text(margin, float64(y+lateTop+26), "", "start", startsText(r.part.Late))
	c.stems(p, r.part.Late, float64(y+lateTop), lateHeight, mostLate, "")
}

// stems draws a stroke for each sample from the middle of a lane, up if positive.
// label says what they are where that is not said elsewhere.
func (c *canvas) stems(p *plot, samples []Sample, top, height, most float64, label string) {
	var axis, strokes path
	middle := top + height/2
	axis.move(plotLeft, middle)
	axis.line(plotRight, middle)
	for _, s := range samples {
		strokes.move(p.x(s.At), middle)
		strokes.line(p.x(s.At), middle-height/2*min(max(s.Value/most, -1), 1))
	}
	c.path("mark", &axis)
	c.path("stem", &strokes)
	y := middle + 5
	if label != "" {
		c.text(plotRight+8, middle-3, "tick", "start", label)
		y = middle + 13
	}
	c.text(plotRight+8, y, "tick", "start", fmt.Sprintf("%.0f ms", most))
}

// pedal draws when the pedal is down in a row with its top at y.
func (c *canvas) pedal(p *plot, r *row, y int) {
	if len(r.part.Pedal) == 0 {
		return
	}
	c.text(plotRight+8, float64(y+pedalTop+pedalHeight), "tick", "start", "pedal")
	c.path("pedal", barsOf(p, r.part.Pedal, float64(y+pedalTop), pedalHeight, 1))
}

// barsOf are bars that stand on the foot of a lane, as high as a value that holds until the
// next, in parts of the most.
func barsOf(p *plot, samples []Sample, top, height, most float64) *path {
	var a path
	foot := top + height
	for i, s := range samples {
		to := p.end
		if i+1 < len(samples) {
			to = min(to, samples[i+1].At)
		}
		if s.Value <= 0 || to <= s.At {
			continue
		}
		left, right, high := p.x(s.At), p.x(to), foot-height*min(s.Value/most, 1)
		a.move(left, foot)
		a.line(left, high)
		a.line(right, high)
		a.line(right, foot)
		a.close()
	}
	return &a
}

// farthest is the greatest distance of samples from 0.
func farthest(samples []Sample) (most float64) {
	for _, s := range samples {
		most = max(most, math.Abs(s.Value))
	}
	return most
}
