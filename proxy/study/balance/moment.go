package balance

import (
	"cmp"
	"math"
	"slices"
	"time"

	"swellbox/expr/acoustics"
)

// slicesPerBar is at how many moments a bar is heard: in the middle of as many equal
// lengths of time. A note that lies between two of them sounds in the one in which it
// begins, so that no stroke is missed. 24 is a whole number to the beat in all usual
// metres.
const slicesPerBar = 24

// moment is what sounds for one or more slices of a bar.
type moment struct {
	weight  int // slices
	sources []acoustics.Source
	players []player // by source
	line    []int    // by source: the first that plays the same line; see [moment.group]
}

// player is what the model need not know of a source.
type player struct {
	part      int
	keys      [2]uint64     // the keys that are down
	classes   uint16        // their pitch classes
	on        time.Duration // when the last of them was struck
	registers float64       // how far the shaped performance follows the instrument's registers
}

// sweep walks through the bars of a score, from first to last.
type sweep struct {
	score  *score
	next   []int   // by part: the first note that has not begun
	active [][]int // by part: those that may sound, in the order of their onsets
	hz     [128]float64
}

// newSweep is a sweep that begins at a bar, counted from 0.
func newSweep(s *score, bar int) *sweep {
	w := &sweep{score: s, next: make([]int, len(s.parts)), active: make([][]int, len(s.parts))}
	at := s.bars[bar]
	for i := range s.parts {
		notes := s.parts[i].notes
		for w.next[i] < len(notes) && notes[w.next[i]].on < at {
			if notes[w.next[i]].off > at {
				w.active[i] = append(w.active[i], w.next[i])
			}
			w.next[i]++
		}
	}
	for key := range w.hz {
		w.hz[key] = acoustics.KeyPitch(float64(key)).Hz()
	}
	return w
}

// bar is the moments of a bar in which anything sounds. Bars are asked for in order.
func (w *sweep) bar(bar int) (moments []moment) {
	from, to := w.score.bars[bar], w.score.bars[bar+1]
	length := (to - from) / slicesPerBar
	if length <= 0 {
		return nil
	}
	for i := range slicesPerBar {
		start := from + time.Duration(i)*length
		end := start + length
		if i == slicesPerBar-1 {
			end = to
		}
		m := w.slice(start, end)
		n := len(moments)
		switch {
		case len(m.sources) == 0:
		case n > 0 && moments[n-1].like(&m):
			moments[n-1].weight++
		default:
			moments = append(moments, m)
		}
	}
	return moments
}

// slice is what sounds in the middle of a length of time.
func (w *sweep) slice(start, end time.Duration) moment {
	m := moment{weight: 1}
	middle := start + (end-start)/2
	for i := range w.score.parts {
		p := &w.score.parts[i]
		for w.next[i] < len(p.notes) && p.notes[w.next[i]].on < end {
			w.active[i] = append(w.active[i], w.next[i])
			w.next[i]++
		}
		w.active[i] = slices.DeleteFunc(w.active[i], func(n int) bool { return p.notes[n].off <= start && p.notes[n].on < start })
		if source, by, sounds := w.source(p, w.active[i], start, middle, end); sounds {
			by.part = i
			m.sources, m.players = append(m.sources, source), append(m.players, by)
		}
	}
	return m
}

// source is what a part sounds in a slice, of the notes that may. If the part changes
// its instrument there, the new one counts.
func (w *sweep) source(p *part, active []int, start, middle, end time.Duration) (src acoustics.Source, by player, sounds bool) {
	var last *voice
	for _, n := range active {
		if p.notes[n].in(start, middle, end) {
			last = p.notes[n].voice
		}
	}
	if last == nil {
		return src, by, false
	}
	loudest, count := math.Inf(-1), 0
	for _, n := range active {
		note := &p.notes[n]
		if note.voice != last || !note.in(start, middle, end) {
			continue
		}
		if count++; count == 1 {
			src.PitchHz = w.hz[note.key]
		} else {
			src.AlsoHz = append(src.AlsoHz, w.hz[note.key])
		}
		by.keys[note.key/64] |= 1 << (note.key % 64)
		by.classes |= 1 << (note.key % 12)
		by.on = note.on
		loudest = max(loudest, note.dynamicDB)
	}
	by.registers = last.registers
	src.Instrument, src.Seat, src.Players = last.instrument, last.seat, last.each(count)
	src.DynamicDB = min(max(loudest+p.swellAt(middle), acoustics.Softest), acoustics.Loudest)
	return src, by, true
}

// in reports whether a note sounds in the middle of a slice, or begins in the slice
// and sounds in the middle of none.
func (n *note) in(start, middle, end time.Duration) bool {
	if n.on > middle {
		return n.on < end && n.off <= middle+(end-start)
	}
	return n.off > middle || n.on >= start
}

// each is how many players each of so many notes at once has: those of one line share
// them, one at least for each; what plays chords plays all of them.
func (v *voice) each(notes int) int {
	switch v.instrument.Family {
	case "strings", "woodwind", "brass", "voice":
		return max(1, int(math.Round(float64(v.players)/float64(notes))))
	}
	return max(1, v.players)
}

// like reports whether the same notes sound alike in two moments.
func (m *moment) like(o *moment) bool {
	return slices.Equal(m.players, o.players) && slices.EqualFunc(m.sources, o.sources, func(a, b acoustics.Source) bool {
		return a.Instrument == b.Instrument && a.DynamicDB == b.DynamicDB
	})
}

// group finds which sources play one line in a bar: those of parts that are in the same one.
func (m *moment) group(r *reading, bar int) {
	of := func(i int) int { return r.lineOf(bar, m.players[i].part) }
	m.line = make([]int, len(m.sources))
	for i := range m.line {
		line := of(i)
		for of(m.line[i]) != line {
			m.line[i]++
		}
	}
}

// of is the source of a part, -1 if it is silent.
func (m *moment) of(part int) int {
	i, found := slices.BinarySearchFunc(m.players, part, func(p player, part int) int { return cmp.Compare(p.part, part) })
	if !found {
		return -1
	}
	return i
}
