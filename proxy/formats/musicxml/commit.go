package musicxml

import (
	"strings"

	"swellbox/expr"
)

// commit puts what a direction says where it belongs. An offset moves hairpins
// and pedals; it moves dynamics, tempos and jumps only where it is said to be of the sound,
// for elsewhere it keeps signs from overlapping on the page.
func (d *directions) commit() error {
	at := d.at()
	drawn := max(at+d.in(d.offset), 0)
	if d.sounding {
		at = drawn
	}
	f := d.frame(d.k)
	if d.segno {
		f.segno = with(f.segno, "")
	}
	if d.coda {
		f.coda = with(f.coda, "")
	}
	if f.mark == "" {
		f.mark = markOf(d.rehearsal)
	}
	s := d.sound
	stressed := false
	for _, name := range d.dynamics {
		_, is := stresses[name]
		stressed = stressed || is
		d.dynamic(at, d.staff, name)
	}
	if s.velocity > 0 {
		m := mark{measure: d.k, at: at, staff: d.staff, kind: level, velocity: s.velocity}
		if stressed {
			m.kind = accent // what holds after a stress is the level before, or its own
		}
		d.mark(m)
	}
	for _, w := range d.wedges {
		if kind, ok := wedges[w.kind]; ok && w.number > 0 {
			d.mark(mark{measure: d.k, at: drawn, staff: d.staff, kind: kind, number: w.number})
		}
	}
	for _, words := range d.words {
		f.middle = f.middle || at == 0 && startsMiddle(words)
		if w := wayOf(words); w != unknownWay {
			d.way(w)
		}
		if kind, ok := leadOf(words); ok {
			d.mark(mark{measure: d.k, at: at, staff: d.staff, kind: kind})
		}
		if kind, ok := swellOf(words); ok {
			d.mark(mark{measure: d.k, at: at, staff: d.staff, kind: kind, number: inWords})
		}
	}
	switch {
	case len(d.pedals) > 0:
		for _, kind := range d.pedals {
			d.pedal(pedalMark{d.k, drawn, kind})
		}
	case s.damper != "":
		d.pedal(pedalMark{d.k, at, damper(s.damper)})
	}
	said := len(f.tempos)
	d.tempos(f, at)
	f.tempo = f.tempo || at == 0 && len(f.tempos) > said
	d.signs(f, at)
	return d.enough()
}

// tempos takes the tempo marks of a direction. Words are read where there are no others.
func (d *directions) tempos(f *frame, at int64) {
	marks := d.metronomes
	if d.sound.tempo > 0 {
		marks = append(marks, tempoMark{kind: sounding, value: d.sound.tempo})
	}
	if len(marks) == 0 {
		for _, words := range d.words {
			if m, ok := tempoOf(words); ok {
				marks = append(marks, m)
			}
		}
	}
	for _, m := range marks {
		m.at = at
		f.tempos = append(f.tempos, m)
		d.marks++
	}
}

// signs takes what a direction says of all parts.
func (d *directions) signs(f *frame, at int64) {
	if d.sound.tempo > 0 {
		d.sign(f, at, expr.Pace, d.sound.tempo)
	}
	for _, m := range d.metronomes {
		if m.kind == metronome {
			d.sign(f, at, expr.Pace, m.value)
		}
	}
	for _, words := range d.words {
		if kind, value, ok := signOf(words); ok {
			d.sign(f, at, kind, value)
		}
	}
	for _, name := range d.dynamics {
		if v, ok := levels[name]; ok {
			d.sign(f, at, expr.Dynamic, float64(v))
		} else if _, ok := stresses[name]; ok {
			d.sign(f, at, expr.Stress, 0)
		}
	}
}

// maxMark is how many letters of a rehearsal mark are kept.
const maxMark = 16

// markOf is a rehearsal mark in one line.
func markOf(text string) string {
	letters := []rune(strings.Join(strings.Fields(text), " "))
	return string(letters[:min(len(letters), maxMark)])
}
