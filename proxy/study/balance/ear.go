package balance

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr/acoustics"
)

// change alters the sources of a moment, a copy, in which the part is number at.
type change func(m *moment, sources []acoustics.Source, at int)

// unchanged is the score as it is.
func unchanged(*moment, []acoustics.Source, int) {}

// ear hears moments in both places. It is not safe for concurrent use.
type ear struct {
	scenes [places]*acoustics.Scene
	sounds []acoustics.Sound
	lines  []acoustics.Sound
	tries  []acoustics.Source
}

func newEar(rooms [places]acoustics.Place) *ear {
	e := &ear{}
	for i := range e.scenes {
		e.scenes[i] = acoustics.NewScene(rooms[i])
	}
	return e
}

// listen gives one sound for each source. They are overwritten by the next call.
func (e *ear) listen(s place, sources []acoustics.Source) []acoustics.Sound {
	if len(e.sounds) < len(sources) {
		e.sounds = make([]acoustics.Sound, len(sources))
	}
	e.scenes[s].Hear(sources, e.sounds)
	return e.sounds[:len(sources)]
}

// together is how the lines of a moment are heard that was listened to last, by the first source of each. It is overwritten
// by the next call.
func (e *ear) together(s place, m *moment) []acoustics.Sound {
	if len(e.lines) < len(m.line) {
		e.lines = make([]acoustics.Sound, len(m.line))
	}
	e.scenes[s].Lines(m.line, e.lines[:len(m.line)])
	return e.lines[:len(m.line)]
}

// try is listen after a change, in which source i is the part.
func (e *ear) try(s place, m *moment, i int, apply change) []acoustics.Sound {
	e.tries = append(e.tries[:0], m.sources...)
	apply(m, e.tries, i)
	return e.listen(s, e.tries)
}

// aimDB is how strong the shaped performance means a source to be: weighted as the ear weighs,
// and on a usual note of the instrument, in whose place the note's own register stands as far as
// the profile says. A chord is as many such notes.
func (e *ear) aimDB(in place, src *acoustics.Source, registers float64) float64 {
	usual := *src
	usual.PitchHz, usual.AlsoHz = 0, nil
	db := e.scenes[in].StrengthDB(&usual) + 10*math.Log10(float64(1+len(src.AlsoHz)))
	if registers != 0 {
		db += registers * (e.scenes[in].StrengthDB(src) - db)
	}
	return db
}

// bar hears the moments of a bar.
func (e *ear) bar(r *reading, bar int, moments []moment) heardBar {
	var out heardBar
	for i := range moments {
		moments[i].group(r, bar)
	}
	for _, m := range moments {
		for _, p := range m.players {
			out = append(out, heardPart{part: p.part})
		}
	}
	slices.SortFunc(out, func(a, b heardPart) int { return cmp.Compare(a.part, b.part) })
	out = slices.CompactFunc(out, func(a, b heardPart) bool { return a.part == b.part })
	for i := range out {
		p := &out[i]
		p.draws, p.line = r.draws[bar][p.part], r.lineOf(bar, p.part)
		p.solo = r.solos != nil && r.solos[bar][p.part]
	}
	out.lead()
	for in := range places {
		tallies, lines := make(map[int]*tally, len(out)), make(map[int]*tally, len(out))
		for _, p := range out {
			tallies[p.part], lines[p.line] = &tally{}, &tally{}
		}
		for i := range moments {
			m := &moments[i]
			sounds := e.listen(in, m.sources)
			for j, line := range e.together(in, m) {
				if m.line[j] == j {
					lines[r.lineOf(bar, m.players[j].part)].sample(line.AudibilityDB, m.weight)
				}
			}
			for j, p := range m.players {
				t := tallies[p.part]
				t.add(m, sounds, j)
				t.aim += float64(m.weight) * math.Pow(10, e.aimDB(in, &m.sources[j], p.registers)/10)
				t.dynamic += float64(m.weight) * m.sources[j].DynamicDB
			}
		}
		for i := range out {
			t := tallies[out[i].part]
			h := t.heard()
			if h.state == Lost && t.doubles(e, in, out[i].part) {
				h.state = Colour
			}
			h.lineDB = lines[out[i].line].median()
			out[i].heard[in] = h
			out[i].dynamicDB = t.dynamic / float64(t.weight)
		}
		out.standOut(in)
	}
	return out
}
