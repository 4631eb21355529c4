package touch

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"swellbox/expr"
)

// part is the notes of one part, in the order of their beats and keys, and what is around each.
type part struct {
	notes       []expr.Written
	index       []int32 // of the score's notes
	pace        float64 // seconds a quarter note, on average
	first, last float64 // quarter notes

	next        []float64 // to the next moment, quarter notes
	size        []int32   // of the chord
	top, bottom []bool
	again       []float64 // from its end to the next stroke of its key, quarter notes
	density     []float64 // onsets within two quarter notes
	metre       []uint8   // 2 on the down-beat, 1 on a beat
	meanKey     []float64
	meanLength  []float64
	meanIOI     []float64 // log
	around      []around
	hands       []hand
}

// around is what the notes around one are, in the mean.
type around struct {
	dots, slurs       float64 // share
	size              float64 // log of the chord's size
	held, early, rest float64 // share that is held over the next onset, that ends before it, whose hand rests after
	end               uint8   // the metre where the note itself ends, if something begins there
}

// hand is what the hand of a note does.
type hand struct {
	reach float64 // share of the note until its hand is out of reach of it; 1: it is not
	leap  float64 // the same for a leap away
	under float64 // notes of its hand that begin under it
	next  float64 // to its next onset, quarter notes
	step  float64 // to the key of that
	left  bool
	path
}

// path is what a hand does at once with a note, and from where to where it goes.
type path struct {
	top, bottom            bool    // of what it strikes at once
	size                   float64 // notes of that
	since                  float64 // its onset before, quarter notes; 0 where there is none
	came                   float64 // from the key of that
	lastLength, nextLength float64 // of the notes before and after, quarter notes; 0 where there is none
	lastDot, nextDot       bool    // those are staccato
	spread                 float64 // semitones that it plays within a second from the note on
	slurs                  float64 // share of its notes near that are slurred
}

// until is the log of the time to the hand's next onset re the length of its note, within bounds.
func (h *hand) until(n *expr.Written) float64 {
	return math.Log(min(max(h.next/n.Length, 0.05), 8))
}

const (
	aroundBefore, aroundAfter = 40, 40 // notes about which keys are averaged
	nearBefore, nearAfter     = 20, 20 // and lengths, onsets and marks
	reachKeys                 = 14     // semitones that a hand reaches (common practice, no published source)
	leapKeys                  = 9
	mostUnder                 = 40 // notes under a note that are looked at
)

// window averages f over so many notes before and after each.
func (p *part) window(before, after int, f func(i int) float64) []float64 {
	n := len(p.notes)
	sums, out := make([]float64, n+1), make([]float64, n)
	for i := range n {
		sums[i+1] = sums[i] + f(i)
	}
	for i := range n {
		a, b := max(i-before, 0), min(i+after, n)
		out[i] = (sums[b] - sums[a]) / float64(b-a)
	}
	return out
}

// parts divides a score, and looks around each note.
func parts(s *expr.Score) []*part {
	all := make([]*part, count(s))
	for i := range all {
		all[i] = partOf(s, i)
	}
	return all
}

// count is how many parts a score has.
func count(s *expr.Score) (n int) {
	for i := range s.Notes {
		n = max(n, int(s.Notes[i].Part)+1)
	}
	return n
}

// partOf takes a part out of a score, and looks around each of its notes.
func partOf(s *expr.Score, number int) *part {
	p := &part{}
	for i := range s.Notes {
		n := &s.Notes[i]
		if int(n.Part) != number || n.Calls || n.Marks&expr.Grace != 0 || !(n.Length > 0) || n.Off <= n.On || math.IsInf(n.Beat, 0) || math.IsNaN(n.Beat) {
			continue
		}
		p.index = append(p.index, int32(i))
	}
	slices.SortStableFunc(p.index, func(a, b int32) int {
		x, y := &s.Notes[a], &s.Notes[b]
		return cmp.Or(cmp.Compare(x.Beat, y.Beat), cmp.Compare(x.Key, y.Key))
	})
	p.notes = make([]expr.Written, len(p.index))
	for k, i := range p.index {
		p.notes[k] = s.Notes[i]
	}
	if len(p.notes) > 1 {
		p.look(s.Bars)
	}
	return p
}

func (p *part) look(bars []expr.Bar) {
	n := len(p.notes)
	first, last := &p.notes[0], &p.notes[n-1]
	p.first, p.last = first.Beat, last.Beat
	p.pace = 0.5
	if last.Beat > first.Beat && last.On > first.On {
		p.pace = (last.On - first.On).Seconds() / (last.Beat - first.Beat)
	}
	p.moments()
	p.strokes()
	p.density, p.metre = make([]float64, n), make([]uint8, n)
	a, b, bar := 0, 0, -1
	for i := range p.notes {
		at := p.notes[i].Beat
		for p.notes[a].Beat < at-2 {
			a++
		}
		for b < n && p.notes[b].Beat < at+2 {
			b++
		}
		p.density[i] = float64(b - a)
		for bar+1 < len(bars) && bars[bar+1].Beat <= at+joint {
			bar++
		}
		start, unit := 0.0, 1.0
		if bar >= 0 {
			start = bars[bar].Beat
			if bars[bar].Unit > 0 {
				unit = 4 / float64(bars[bar].Unit)
			}
		}
		d := math.Abs(at-start) / unit
		switch {
		case d < joint:
			p.metre[i] = 2
		case math.Abs(d-math.Round(d)) < joint:
			p.metre[i] = 1
		}
	}
	p.meanKey = p.window(aroundBefore, aroundAfter, func(i int) float64 { return float64(p.notes[i].Key) })
	p.meanLength = p.window(nearBefore, nearAfter, func(i int) float64 { return p.notes[i].Length })
	p.meanIOI = p.window(nearBefore, nearAfter, func(i int) float64 { return math.Log(p.next[i]*p.pace + 0.02) })
	p.handle()
	p.ends()
}

// ends finds what is usual around each note, and where it ends.
func (p *part) ends() {
	p.around = make([]around, len(p.notes))
	share := func(to func(*around) *float64, f func(i int) float64) {
		for i, x := range p.window(nearBefore, nearAfter, f) {
			*to(&p.around[i]) = x
		}
	}
	has := func(some expr.Marks) func(int) float64 {
		return func(i int) float64 { return flag(p.notes[i].Marks&some != 0) }
	}
	share(func(a *around) *float64 { return &a.dots }, has(dotted))
	share(func(a *around) *float64 { return &a.slurs }, has(underSlur))
	share(func(a *around) *float64 { return &a.size }, func(i int) float64 { return math.Log(float64(p.size[i])) })
	share(func(a *around) *float64 { return &a.held }, func(i int) float64 { return flag(p.notes[i].Length > p.next[i]*1.05) })
	share(func(a *around) *float64 { return &a.early }, func(i int) float64 { return flag(p.notes[i].Length < p.next[i]*0.95) })
	share(func(a *around) *float64 { return &a.rest }, func(i int) float64 { return flag(p.hands[i].next > p.notes[i].Length*1.05) })
	for i := range p.notes {
		end := p.notes[i].Beat + p.notes[i].Length
		k := i + sort.Search(len(p.notes)-i, func(k int) bool { return p.notes[i+k].Beat > end-joint })
		if k < len(p.notes) && p.notes[k].Beat < end+joint {
			p.around[i].end = p.metre[k]
		}
	}
}

// moments finds what begins together, and when something next does.
func (p *part) moments() {
	n := len(p.notes)
	p.next, p.size, p.top, p.bottom = make([]float64, n), make([]int32, n), make([]bool, n), make([]bool, n)
	for i := 0; i < n; {
		e := i
		for e < n && p.notes[e].Beat-p.notes[i].Beat < 1e-3 {
			e++
		}
		next := 1.0
		if e < n {
			next = p.notes[e].Beat - p.notes[i].Beat
		}
		for k := i; k < e; k++ {
			p.next[k], p.size[k] = next, int32(e-i)
		}
		p.bottom[i], p.top[e-1] = true, true
		i = e
	}
}

// strokes finds when each key is struck again.
func (p *part) strokes() {
	p.again = make([]float64, len(p.notes))
	var last [256]float64
	for k := range last {
		last[k] = math.Inf(1)
	}
	for i := len(p.notes) - 1; i >= 0; i-- {
		n := &p.notes[i]
		p.again[i] = last[n.Key] - n.Beat - n.Length
		last[n.Key] = n.Beat
	}
}
