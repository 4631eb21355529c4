package musicxml

import (
	"cmp"
	"encoding/xml"
	"slices"
	"strings"
)

const (
	minTempo = 5    // quarter notes a minute
	maxTempo = 2000 // quarter notes a minute
	// firstTempo holds until the first mark (Standard MIDI File 1.0, from memory).
	firstTempo = 120
)

// metronome reads a metronome mark: a beat and how many of it a minute has, or two beats
// of which the second becomes as long as the first was.
func (r *page) metronome() (marks []tempoMark, err error) {
	var beats []float64 // quarter notes
	dot := 0.0
	minute := ""
	drawn := false
	err = r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "beat-unit":
			text, err := r.xml.text()
			if err != nil {
				return err
			}
			dot = quarters(values[text])
			beats = append(beats, dot)
		case "beat-unit-dot":
			if dot /= 2; len(beats) > 0 {
				beats[len(beats)-1] += dot
			}
		case "per-minute":
			text, err := r.xml.text()
			minute = text
			return err
		case "metronome-note":
			drawn = true
		}
		if len(beats) > 2 {
			return r.fault("a metronome mark has over two beats: %s", damaged)
		}
		return nil
	})
	switch {
	case err != nil:
		return nil, err
	case drawn:
		r.warn("a metronome mark that is drawn with notes is not read; give the direction a sound tempo")
	case len(beats) == 2 && beats[0] > 0 && beats[1] > 0:
		marks = append(marks, tempoMark{kind: ratio, value: beats[1] / beats[0]})
	case len(beats) == 1 && minute != "":
		text := strings.TrimLeft(minute, "cain. ~≈=(") // "ca. 120", "circa 120"
		if i := strings.IndexFunc(text, func(c rune) bool { return (c < '0' || c > '9') && c != '.' }); i >= 0 {
			text = text[:i] // "120-126"
		}
		if x, ok := r.decimal("per-minute", text, 1, 10*maxTempo); ok {
			if x *= beats[0]; x >= minTempo && x <= maxTempo {
				marks = append(marks, tempoMark{kind: metronome, value: x})
			}
		}
	}
	return marks, nil
}

// tempoPoint is a place from which a tempo holds.
type tempoPoint struct {
	at        int64   // ticks since the start of the score as written
	perMinute float64 // quarter notes
}

// tempoLine is the tempo of the score as written, from the marks of its measures.
func tempoLine(frames []frame, starts []int64) []tempoPoint {
	var marks []tempoMark
	for k := range frames {
		for _, m := range frames[k].tempos {
			m.at += starts[k]
			marks = append(marks, m)
		}
	}
	slices.SortStableFunc(marks, func(a, b tempoMark) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.kind, b.kind))
	})
	line := []tempoPoint{{0, firstTempo}}
	now, stated, first := float64(firstTempo), float64(firstTempo), 0.0
	for i, m := range marks {
		if i+1 < len(marks) && marks[i+1].at == m.at {
			continue
		}
		switch m.kind {
		case gradual:
			end := m.at + gradualQuarters*quarterTicks
			if i+1 < len(marks) {
				end = min(end, marks[i+1].at)
			}
			from := now
			for step := range int64(gradualQuarters) {
				if at := m.at + step*quarterTicks; at < end {
					now = bounded(from * (1 + (m.value-1)*float64(step+1)/gradualQuarters))
					line = append(line, tempoPoint{at, now})
				}
			}
			continue
		case back:
			now = stated
		case backHome:
			now = cmp.Or(first, stated)
			stated = now
		case ratio:
			now *= m.value
			stated = now
		default:
			now, stated = m.value, m.value
		}
		now = bounded(now)
		first = cmp.Or(first, now)
		line = append(line, tempoPoint{m.at, now})
	}
	return line
}

func bounded(perMinute float64) float64 { return min(max(perMinute, minTempo), maxTempo) }
