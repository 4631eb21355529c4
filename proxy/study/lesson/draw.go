package lesson

import (
	"fmt"
	"html/template"
	"math"
	"strings"
	"time"

	"swellbox/proxy/study/balance"
	"swellbox/proxy/study/demo"
)

// Measures of a part's plot: its notes, the levels under them, then vibrato and pedal.
const (
	plotWidth    = 1000
	plotHeight   = 84
	notesHeight  = 26
	levelTop     = 30
	levelHeight  = 40
	vibratoTop   = 73
	pedalTop     = 80
	loudestDB    = 14 // re mf
	softestDB    = -26
	fullVibrato  = 60 // cents: as dark as it gets
	leastVibrato = 5  // cents: less is not drawn
)

// draw draws all parts that sound in a stretch.
func (p *played) draw(s *Stretch, heard *balance.Result) (parts []*Part) {
	for i := range p.views {
		view := &p.views[i]
		port, channel := p.parts[i].Report.Port-1, p.parts[i].Report.Channel-1
		notes := p.notesOf(port, channel, s)
		if len(notes) == 0 {
			continue
		}
		part := &Part{Name: view.Name, View: fmt.Sprintf("0 0 %d %d", plotWidth, plotHeight)}
		d := drawing{s: s}
		d.bars()
		d.notes(notes)
		d.level("was", view.Raw)
		d.level("is", view.Shaped)
		d.vibrato(view.Vibrato)
		d.pedal(view.Pedal)
		part.Plot = template.HTML(d.b.String()) // numbers only
		part.Says = d.words(view.Raw, view.Shaped, view.Vibrato, len(notes))
		part.Cells = cells(s, heard, part.Name)
		parts = append(parts, part)
	}
	return parts
}

type note struct {
	on, off time.Duration
	key     byte
}

// notesOf are the notes of a part that sound in a stretch.
func (p *played) notesOf(port, channel int, s *Stretch) (all []note) {
	for i := range p.notes {
		n := &p.notes[i]
		if int(n.Port) == port && int(n.Channel) == channel && n.On < s.to && n.Off > s.from {
			all = append(all, note{max(n.On, s.from), min(n.Off, s.to), n.Key})
		}
	}
	return all
}

type drawing struct {
	s *Stretch
	b strings.Builder
}

func (d *drawing) x(t time.Duration) float64 {
	return plotWidth * float64(min(max(t, d.s.from), d.s.to)-d.s.from) / float64(d.s.to-d.s.from)
}

func (d *drawing) bars() {
	for _, b := range d.s.Bars {
		fmt.Fprintf(&d.b, `<path class="bar" d="M%.1f 0V%d"/>`, plotWidth*b.At/d.s.Length, plotHeight)
	}
}

// notes draws each as a dash at its height, the lowest of the part at the bottom.
func (d *drawing) notes(all []note) {
	low, high := all[0].key, all[0].key
	for _, n := range all {
		low, high = min(low, n.key), max(high, n.key)
	}
	span := math.Max(float64(high)-float64(low), 12) // a part that hardly moves is not drawn as if it leapt
	middle := (float64(high) + float64(low)) / 2
	d.b.WriteString(`<path class="note" d="`)
	for _, n := range all {
		y := notesHeight/2 - (float64(n.key)-middle)/span*(notesHeight-4)
		fmt.Fprintf(&d.b, "M%.1f %.1fH%.1f", d.x(n.on), y, math.Max(d.x(n.off)-1, d.x(n.on)+1))
	}
	d.b.WriteString(`"/>`)
}

// within are the samples that matter in a stretch: the last before it, and those in it.
func within(all []demo.Sample, s *Stretch) []demo.Sample {
	from := 0
	for i := range all {
		if all[i].At <= s.from {
			from = i
		}
		if all[i].At >= s.to {
			return all[from:i]
		}
	}
	return all[from:]
}

// level draws a curve, with a gap where nothing sounds.
func (d *drawing) level(class string, all []demo.Sample) {
	fmt.Fprintf(&d.b, `<path class="%s" d="`, class)
	down := false
	for _, v := range within(all, d.s) {
		x := d.x(v.At)
		sounds := !math.IsNaN(v.Value) && !math.IsInf(v.Value, 0)
		if down {
			fmt.Fprintf(&d.b, "H%.1f", x)
		}
		if y := levelTop + levelHeight*(loudestDB-min(max(v.Value, softestDB), loudestDB))/(loudestDB-softestDB); sounds && down {
			fmt.Fprintf(&d.b, "V%.1f", y)
		} else if sounds {
			fmt.Fprintf(&d.b, "M%.1f %.1f", x, y)
		}
		down = sounds
	}
	if down {
		fmt.Fprintf(&d.b, "H%d", plotWidth)
	}
	d.b.WriteString(`"/>`)
}

// runs visits the values of a stretch, each with where it begins and ends.
func (d *drawing) runs(all []demo.Sample, visit func(value, from, to float64)) {
	in := within(all, d.s)
	for i, v := range in {
		end := d.s.to
		if i+1 < len(in) {
			end = in[i+1].At
		}
		visit(v.Value, d.x(v.At), d.x(end))
	}
}

// vibrato draws a band, the darker the deeper.
func (d *drawing) vibrato(all []demo.Sample) {
	d.runs(all, func(cents, from, to float64) {
		if cents >= leastVibrato && to-from > 0.1 {
			fmt.Fprintf(&d.b, `<rect class="vib" x="%.1f" y="%d" width="%.1f" height="5" opacity="%.2f"/>`, from, vibratoTop, to-from, min(cents/fullVibrato, 1))
		}
	})
}

// pedal draws a line where the pedal is down.
func (d *drawing) pedal(all []demo.Sample) {
	d.runs(all, func(depth, from, to float64) {
		if depth > 0 && to > from {
			fmt.Fprintf(&d.b, `<path class="ped" d="M%.1f %dH%.1f"/>`, from, pedalTop, to)
		}
	})
}

// words say what is drawn.
func (d *drawing) words(raw, shaped, vibrato []demo.Sample, notes int) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range within(shaped, d.s) {
		if !math.IsNaN(v.Value) && !math.IsInf(v.Value, 0) {
			low, high = min(low, v.Value), max(high, v.Value)
		}
	}
	deep := 0.
	for _, v := range within(vibrato, d.s) {
		deep = max(deep, v.Value)
	}
	text := fmt.Sprintf("%d notes", notes)
	if notes == 1 {
		text = "1 note"
	}
	if high >= low {
		text += fmt.Sprintf("; shaped between %.0f and %.0f dB against mf", low, high)
	}
	if deep >= leastVibrato {
		text += fmt.Sprintf(", vibrato up to %.0f cents", deep)
	}
	return text
}

// cells are how a part is heard in the hall, bar by bar.
func cells(s *Stretch, heard *balance.Result, name string) []Cell {
	out := make([]Cell, len(s.Bars))
	for i, b := range s.Bars {
		out[i] = Cell{At: b.At, Length: b.Length, Class: "none"}
	}
	for i := range heard.Reports[0].Parts {
		part := &heard.Reports[0].Parts[i]
		if part.Name != name {
			continue
		}
		for _, bar := range part.Bars {
			if n := bar.Bar - 1 - s.first; n >= 0 && n < len(out) {
				out[n].Class, out[n].Letter = classOf(bar.State)
				out[n].Says = fmt.Sprintf("%s, %s %s: %s", name, heard.Unit, s.Bars[n].Number, bar.State)
			}
		}
	}
	return out
}

func classOf(s balance.State) (class, letter string) { return "state" + s.Letter(), s.Letter() }

// stateKeys explain the letters.
func stateKeys() (all []StateKey) {
	for _, s := range []balance.State{balance.Front, balance.Alone, balance.Heard, balance.Background, balance.Colour, balance.Lost} {
		class, letter := classOf(s)
		all = append(all, StateKey{class, letter, s.String(), s.Meaning()})
	}
	return all
}
