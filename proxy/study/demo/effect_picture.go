package demo

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"swellbox/profiles/svg"
)

// Measures of the picture of habits, in pixels, where they are not those of [Picture].
const (
	effectHeader = 166
	effectPad    = 10
	changeHeight = 56 // of a lane of level
	timeHeight   = 30 // of a lane of starts or ends
	laneGap      = 6
	effectLine   = 22  // of text
	effectGroup  = 5   // strips between two lines of bar numbers
	mostMoved    = 200 // ms to the edge of a lane of times, at most
)

// EffectView is what [EffectPicture] shows.
type EffectView struct {
	Title   string
	Bars    []time.Duration
	End     time.Duration
	Part    string // that is shown, where the habit changes anything in it; empty for none in particular
	Effects []Effect
}

// EffectPicture writes a self-contained SVG with a strip for each habit: what it changes by
// itself in the level of the notes of one part, in their starts and their lengths. An error is
// that of w.
func EffectPicture(w io.Writer, view EffectView) error {
	p := &plot{end: max(view.End, 1), bars: view.Bars}
	parts := make([]*PartEffect, len(view.Effects))
	height := effectHeader + footerHeight
	for i := range view.Effects {
		parts[i] = view.Effects[i].strongest(view.Part)
		if height += stripHeightOf(parts[i]); i%effectGroup == 0 {
			height += stripHeight
		}
	}
	var c canvas
	c.open(view.Title, aboutEffects(view), height)
	c.legend(72, []entry{
		{"louder", "orange: louder by the habit", 14},
		{"softer", "light blue: softer by the habit", 14},
		{"vibrato", "vibrato depth", 14},
		{"stem", "a start or an end moves", -1},
		{"pedal", "the pedal is down", pedalHeight},
	})
	shown := "The part in which a habit does most"
	if view.Part != "" {
		shown = view.Part + ", or the part in which a habit does most"
	}
	c.text(margin, 146, "soft", "start", fmt.Sprintf("%s. Scales at the right of each lane; strokes go up for later, to %d ms.", shown, mostMoved))
	y := effectHeader
	for i := range parts {
		if i%effectGroup == 0 {
			y += stripHeight
			bottom := y
			for j := i; j < min(i+effectGroup, len(parts)); j++ {
				bottom += stripHeightOf(parts[j])
			}
			c.grid(p, y, bottom)
		}
		c.strip(p, view.Effects[i].Habit, parts[i], y)
		y += stripHeightOf(parts[i])
		if i+1 == len(parts) || (i+1)%effectGroup == 0 {
			c.rule(y)
		}
	}
	c.times(p, y)
	c.WriteString("</svg>\n")
	if _, err := w.Write(c.Bytes()); err != nil {
		return fmt.Errorf("cannot write the picture of habits: %w", err)
	}
	return nil
}

func aboutEffects(view EffectView) string {
	var b strings.Builder
	fmt.Fprintf(&b, "What each habit does by itself, over %s.", count(len(view.Bars), "bar"))
	for i := range view.Effects {
		e := &view.Effects[i]
		fmt.Fprintf(&b, " %s: %s.", e.Habit, strings.Join(e.texts(), ", "))
	}
	return b.String()
}

// nice is the least of 1, 2, 5, 10, 20 … that reaches a value.
func nice(v float64) float64 {
	for unit := 1.0; unit < 1e6; unit *= 10 {
		for _, step := range []float64{1, 2, 5} {
			if step*unit >= v {
				return step * unit
			}
		}
	}
	return v
}

// stripHeightOf is that of the lanes that a part needs, or of its texts, whichever is more.
func stripHeightOf(part *PartEffect) int {
	c := &part.Changes
	lanes := 2 * effectPad
	for _, lane := range []struct {
		has    bool
		height int
	}{
		{c.level(), changeHeight}, {c.start(), timeHeight}, {c.length(), timeHeight},
		{c.vibrato(), vibratoHigh}, {c.Treads > 0, pedalHeight},
	} {
		if lane.has {
			lanes += lane.height + laneGap
		}
	}
	return max(lanes, 2*effectPad+(2+len(c.texts()))*effectLine)
}

// strip draws what a habit does in a part with its top at y.
func (c *canvas) strip(p *plot, habit string, part *PartEffect, y int) {
	c.WriteString("<g><title>")
	c.WriteString(svg.Escaped(habit))
	c.WriteString("</title>\n")
	c.rule(y)
	at := float64(y + effectPad)
	c.text(margin, at+18, "name", "start", shorten(habit, nameRunes))
	c.text(margin, at+18+effectLine, "soft", "start", shorten(part.Name, nameRunes))
	for i, t := range part.Changes.texts() {
		c.text(margin, at+18+float64(i+2)*effectLine, "tick", "start", t)
	}
	if part.Changes.level() {
		c.changes(p, part, at)
		at += changeHeight + laneGap
	}
	if part.Changes.start() {
		c.stems(p, part.Start, at, timeHeight, min(nice(farthest(part.Start)), mostMoved), "starts")
		at += timeHeight + laneGap
	}
	if part.Changes.length() {
		c.stems(p, part.Length, at, timeHeight, min(nice(farthest(part.Length)), mostMoved), "ends")
		at += timeHeight + laneGap
	}
	if part.Changes.vibrato() {
		most := nice(part.Changes.VibratoCents)
		c.path("vibrato", barsOf(p, part.Vibrato, at, vibratoHigh, most))
		c.text(plotRight+8, at+vibratoHigh-1, "tick", "start", fmt.Sprintf("%.0f c", most))
		at += vibratoHigh + laneGap
	}
	c.path("pedal", barsOf(p, part.Pedal, at, pedalHeight, 1))
	c.WriteString("</g>\n")
}

// changes draws the change of level of each note about the middle of a lane.
func (c *canvas) changes(p *plot, part *PartEffect, top float64) {
	var axis path
	most := nice(max(-part.Changes.LevelDB[0], part.Changes.LevelDB[1]))
	middle := top + changeHeight/2
	axis.move(plotLeft, middle)
	axis.line(plotRight, middle)
	c.path("louder", areas(p, part.Level, +1, middle, most))
	c.path("softer", areas(p, part.Level, -1, middle, most))
	c.path("mark", &axis)
	c.text(plotRight+8, middle+5, "tick", "start", fmt.Sprintf("±%.0f dB", most))
}

// areas are the changes of one sign as areas from the axis, no finer than a pixel.
func areas(p *plot, notes [][]Sample, sign, middle, most float64) *path {
	var a path
	for _, note := range notes {
		if sign*farthestOf(note, sign) <= unchangedDB {
			continue // nothing, or a note of no length
		}
		end := p.x(note[len(note)-1].At)
		drawn := math.Inf(-1)
		a.move(p.x(note[0].At), middle)
		for i, s := range note[:len(note)-1] {
			x, next := p.x(s.At), p.x(note[i+1].At)
			if i > 0 && x-drawn < 1 {
				continue
			}
			drawn = x
			y := middle - changeHeight/2*max(sign*s.Value, 0)*sign/most
			a.line(x, y)
			a.line(max(next, min(x+1, end)), y)
		}
		a.line(end, middle)
		a.close()
	}
	return &a
}

// farthestOf is the value of a sign that is farthest from 0.
func farthestOf(samples []Sample, sign float64) (most float64) {
	for _, s := range samples {
		if sign*s.Value > sign*most {
			most = s.Value
		}
	}
	return most
}
