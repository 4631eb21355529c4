package foreground

import (
	"slices"
	"strings"

	"swellbox/proxy/formats/smf"
)

// Fault is what a student writes that spoils a passage whose main line is known.
type Fault uint8

// The faults.
const (
	LowFlute    Fault = iota // the main line given to a flute alone, in its lowest octave
	OctaveDown               // all its parts an octave down
	TwoSofter                // marked two steps softer
	BrassDouble              // brass doubles an accompaniment, at f
	OneHorn                  // one horn where two or more have the main line, with others or not
	Tremolo                  // all other strings tremble at f under it
	Faults      = int(Tremolo) + 1
)

func (f Fault) String() string {
	return [...]string{"main line given to a low flute", "main line an octave down", "main line two steps softer", "brass doubles an accompaniment at f", "one horn for all who have the main line", "tremolo of the strings at f"}[f]
}

// Passage is a stretch in which the main line is with the same parts.
type Passage struct {
	From, To int // quarter notes of the tables, from the first to before the last
	Main     []bool
}

// Passages of a length that one would rehearse, quarter notes.
const (
	leastQuarters = 8
	mostQuarters  = 24
)

// Passages are the stretches of the movement in which the main line stays with the same parts.
func (m *Movement) Passages() (all []Passage) {
	for from := 0; from < len(m.Lists); {
		to := from + 1
		if m.Lists[from] == nil {
			from = to
			continue
		}
		for to < len(m.Lists) && to-from < mostQuarters && slices.Equal(m.Lists[to], m.Lists[from]) {
			to++
		}
		if to-from >= leastQuarters {
			all = append(all, Passage{from, to, m.Lists[from]})
		}
		from = to
	}
	return all
}

// Louder and softer, in velocities: f, and two marks of a score as package musicxml writes them.
const (
	forte     = 96
	twoMarks  = 32
	softestOf = 8
)

// Plant is a copy of the movement's file with a fault in a passage; nil where the fault cannot be made there.
func (m *Movement) Plant(f Fault, p Passage) *smf.File {
	x := &planting{Movement: m, file: copied(m.File), from: int64((float64(p.From) + m.shift) * m.ticks()), to: int64((float64(p.To) + m.shift) * m.ticks())}
	main := x.parts(func(i int) bool { return p.Main[i] })
	done := false
	switch f {
	case LowFlute:
		done = x.lowFlute(main)
	case OctaveDown:
		for _, i := range main {
			x.each(i, func(e []byte) { e[1] -= 12; done = true })
		}
	case TwoSofter:
		for _, i := range main {
			x.each(i, func(e []byte) {
				if e[0]&0xF0 == 0x90 && e[2] > 0 {
					e[2] = max(e[2], softestOf+twoMarks) - twoMarks
					done = true
				}
			})
		}
	case BrassDouble:
		done = x.brass(p)
	case OneHorn:
		horns := slices.DeleteFunc(slices.Clone(main), func(i int) bool { return !x.is(i, "Horn") })
		if done = len(horns) > 1; done {
			for _, i := range main {
				if i != horns[0] {
					x.silence(i)
				}
			}
		}
	case Tremolo:
		done = x.tremolo(p)
	}
	if !done {
		return nil
	}
	return x.file
}

// planting is a file while it is spoilt.
type planting struct {
	*Movement
	file     *smf.File
	from, to int64 // ticks
}

func copied(f *smf.File) *smf.File {
	c := *f
	c.Tracks = slices.Clone(f.Tracks)
	for i := range c.Tracks {
		c.Tracks[i].Events = slices.Clone(c.Tracks[i].Events)
		for j := range c.Tracks[i].Events {
			c.Tracks[i].Events[j].Data = slices.Clone(c.Tracks[i].Events[j].Data)
		}
	}
	return &c
}

func (x *planting) parts(want func(i int) bool) (all []int) {
	for i := range x.Score.Parts {
		if want(i) {
			all = append(all, i)
		}
	}
	return all
}

// Names of parts by which brass and strings are known.
var brassNames, stringNames = []string{"Trumpet", "Trombone", "Horn"}, []string{"Violin", "Viola", "Violoncello"}

func (x *planting) is(part int, words ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool {
		return strings.Contains(x.Score.Parts[part], w) && !strings.Contains(x.Score.Parts[part], "English")
	})
}

// held is a note of a track: its events.
type held struct{ on, off int }

// notes are those of a part that begin in the passage.
func (x *planting) notes(part int) (all []held) {
	events := x.file.Tracks[part+1].Events
	open := map[byte]int{}
	for i, e := range events {
		switch {
		case len(e.Data) != 3:
		case e.Data[0]&0xF0 == 0x90 && e.Data[2] > 0 && e.Tick >= x.from && e.Tick < x.to:
			open[e.Data[1]] = i
		case e.Data[0]&0xE0 == 0x80:
			if on, known := open[e.Data[1]]; known {
				all = append(all, held{on, i})
				delete(open, e.Data[1])
			}
		}
	}
	return all
}

// each does something with both events of each note.
func (x *planting) each(part int, do func(e []byte)) {
	events := x.file.Tracks[part+1].Events
	for _, n := range x.notes(part) {
		do(events[n.on].Data)
		do(events[n.off].Data)
	}
}

// silence takes a part's notes away.
func (x *planting) silence(part int) {
	t := &x.file.Tracks[part+1]
	gone := map[int]bool{}
	for _, n := range x.notes(part) {
		gone[n.on], gone[n.off] = true, true
	}
	var kept []smf.Event
	for i, e := range t.Events {
		if !gone[i] {
			kept = append(kept, e)
		}
	}
	t.Events = kept
}

// tone is a note to be written.
type tone struct {
	from, to      int64
	key, velocity byte
}

// tones are a part's.
func (x *planting) tones(part int) (all []tone) {
	events := x.file.Tracks[part+1].Events
	for _, n := range x.notes(part) {
		on, off := events[n.on], events[n.off]
		all = append(all, tone{on.Tick, off.Tick, on.Data[1], on.Data[2]})
	}
	return all
}

// write gives a part notes, on the channel that it has.
func (x *planting) write(part int, all []tone) bool {
	t := &x.file.Tracks[part+1]
	channel := -1
	for _, e := range t.Events {
		if len(e.Data) > 0 && e.Data[0] >= 0x80 && e.Data[0] < 0xF0 {
			channel = int(e.Data[0] & 0xF)
			break
		}
	}
	if channel < 0 || len(all) == 0 {
		return false
	}
	for _, n := range all {
		t.Events = append(t.Events, smf.Event{Tick: n.from, Data: []byte{0x90 | byte(channel), n.key, n.velocity}}, smf.Event{Tick: n.to, Data: []byte{0x80 | byte(channel), n.key, 64}})
	}
	slices.SortStableFunc(t.Events, func(a, b smf.Event) int {
		if a.Tick != b.Tick {
			return int(a.Tick - b.Tick)
		}
		return int(a.Data[0]&0x10) - int(b.Data[0]&0x10) // ends first
	})
	return true
}

// within moves a key by octaves to a range of an octave or more.
func within(key, low, high byte) byte {
	for key < low {
		key += 12
	}
	for key > high {
		key -= 12
	}
	return key
}

// lowest octave of a flute.
const lowFlute = 60

func (x *planting) lowFlute(main []int) bool {
	flutes := x.parts(func(i int) bool { return x.is(i, "Flute") })
	if len(flutes) == 0 || len(main) == 0 {
		return false
	}
	all := x.tones(main[0])
	for i := range all {
		all[i].key = within(all[i].key, lowFlute, lowFlute+11)
	}
	for _, i := range main {
		x.silence(i)
	}
	x.silence(flutes[0])
	return x.write(flutes[0], all)
}

// brass doubles the accompanying part that has most notes, in the octave that trumpets, horns and trombones play best.
func (x *planting) brass(p Passage) bool {
	busiest, notes := -1, 0
	for _, i := range x.parts(func(i int) bool {
		return !p.Main[i] && x.is(i, "Violin 2", "Viola", "Violoncello", "Bassoon", "Clarinet")
	}) {
		if n := len(x.notes(i)); n > notes {
			busiest, notes = i, n
		}
	}
	brass := x.parts(func(i int) bool { return !p.Main[i] && x.is(i, brassNames...) })
	if busiest < 0 || len(brass) < 2 {
		return false
	}
	all := x.tones(busiest)
	for i := range all {
		all[i].velocity = forte
		all[i].key = within(all[i].key, 58, 69)
	}
	done := false
	for _, i := range brass[:min(len(brass), 4)] {
		x.silence(i)
		done = x.write(i, all) || done
	}
	return done
}

// tremolo has the strings that do not have the main line strike their notes sixteen times a bar, at f.
func (x *planting) tremolo(p Passage) (done bool) {
	stroke := int64(x.ticks() / 4)
	for _, i := range x.parts(func(i int) bool { return !p.Main[i] && x.is(i, stringNames...) }) {
		var all []tone
		for _, n := range x.tones(i) {
			for at := n.from; at < n.to; at += stroke {
				all = append(all, tone{at, min(at+stroke, n.to), n.key, forte})
			}
		}
		x.silence(i)
		done = x.write(i, all) || done
	}
	return done
}
