package voices

import (
	"cmp"
	"math"
	"slices"
)

// Sung is a note of one part of a score, which is one line: of a chord its highest.
type Sung struct {
	From, To float64 // quarter notes since the piece's start
	Key      int
	LevelDB  float64 // written
}

// Kind is what the name of a part says of it.
type Kind struct {
	Leads  bool // it is the first of several alike, as of Violin 1 and Violin 2
	Sings  bool
	Brass  bool // or drums
	Middle bool // it mostly fills in: viola, double bass, bassoon
}

// Parts are the parts of a score quarter by quarter, for who wants to know which of them has the
// tune and knows the whole piece. Where it is not known beforehand, an [Ensemble] listens.
type Parts struct {
	parts, steps int
	from         float64     // where the first step begins, quarter notes
	counted      [][]float32 // by count, part by part, step by step
	kinds        []Kind
	lines        [][]Sung // in order
}

// What is counted of a part in each step.
const (
	sounds  = iota // share of the step
	heights        // keys, by how long they sound
	tops           // share of the step as the highest of all
	bottoms        // and as the lowest
	onsets
	moves    // onsets on another key than the last
	stepped  // and by a step
	news     // and on one not among the last eight
	lone     // onsets, each shared among the parts that have one then
	lengths  // logs of lengths in quarters, base 2
	figured  // onsets that go on with a figure that goes round
	alike    // parts that sound the same note in unison or octaves, by how long
	loudness // dB, by how long it sounds
	entering // since it came in after a rest
	counts
)

// Window is over how many quarter notes to either side the parts are compared.
const window = 2

// maxPlaces bounds a piece in which the tune is looked for, in steps of all parts: it takes 60 MB then.
const maxPlaces = 1 << 20

// ReadParts lays the parts of a score over steps of a quarter note. Nil if there is
// too little, or too much.
func ReadParts(parts [][]Sung, kinds []Kind) *Parts {
	p := &Parts{parts: len(parts), kinds: kinds, from: math.Inf(1)}
	end := math.Inf(-1)
	for _, notes := range parts {
		for _, n := range notes {
			p.from, end = min(p.from, math.Floor(n.From)), max(end, n.To)
		}
	}
	steps := math.Ceil(end - p.from)
	if !(steps >= 1 && steps*float64(len(parts)) <= maxPlaces) || len(parts) < 2 || len(kinds) != len(parts) {
		return nil
	}
	p.steps = int(steps)
	p.counted = make([][]float32, counts)
	for c := range p.counted {
		p.counted[c] = make([]float32, p.parts*p.steps)
	}
	together := make([]uint16, (p.steps+1)*ticks) // how many parts begin a note, by place
	p.lines = make([][]Sung, len(parts))
	moving := make([][]Sung, len(parts))
	for i := range parts {
		p.lines[i] = line1(parts[i])
		moving[i] = joined(p.lines[i])
		for _, n := range moving[i] {
			together[tick(n.From-p.from)]++
		}
	}
	for i, notes := range moving {
		p.line(i, notes, together)
	}
	p.compare(p.lines)
	return p
}

// ticks are the places of a quarter that are told apart, where notes may begin together.
const ticks = 24

func tick(q float64) int { return int(math.Round(q * ticks)) }

// Begins is the key of the note that a part begins at a place, in quarter notes since the piece's start;
// false if it begins none there.
func (p *Parts) Begins(part int, quarter float64) (key int, ok bool) {
	at := tick(quarter)
	i, ok := slices.BinarySearchFunc(p.lines[part], at, func(n Sung, at int) int { return cmp.Compare(tick(n.From), at) })
	if !ok {
		return 0, false
	}
	return p.lines[part][i].Key, true
}

// line1 is a part's notes in order, of those that begin together the highest, each up to the next.
func line1(notes []Sung) []Sung {
	notes = slices.Clone(notes)
	slices.SortStableFunc(notes, func(a, b Sung) int { return cmp.Or(cmp.Compare(tick(a.From), tick(b.From)), cmp.Compare(b.Key, a.Key)) })
	notes = slices.CompactFunc(notes, func(a, b Sung) bool { return tick(a.From) == tick(b.From) })
	for i := 1; i < len(notes); i++ {
		notes[i-1].To = min(notes[i-1].To, notes[i].From)
	}
	return notes
}

// joined is a line in which a note that is struck again and again is one: what moves is heard as a line, and
// who trembles on a note moves no more than who holds it. The movements that the table is fitted to do not
// tell the two apart either.
func joined(notes []Sung) (all []Sung) {
	for _, n := range notes {
		if i := len(all) - 1; i >= 0 && all[i].Key == n.Key && tick(n.From-all[i].To) <= 0 {
			all[i].To = n.To
			continue
		}
		all = append(all, n)
	}
	return all
}

// add adds to a count of a part in a step.
func (p *Parts) add(count, part, step int, x float64) {
	p.counted[count][part*p.steps+min(max(step, 0), p.steps-1)] += float32(x)
}

// spread adds something to the steps of a stretch, by the share of each that it fills.
func (p *Parts) spread(count, part int, from, to, x float64) {
	for k := int(from - p.from); float64(k) < to-p.from && k < p.steps; k++ {
		start := p.from + float64(k)
		p.add(count, part, k, x*max(min(to, start+1)-max(from, start), 0))
	}
}

const restQuarters = 2 // after which a part comes in anew

// line counts what a part does by itself.
func (p *Parts) line(part int, notes []Sung, together []uint16) {
	var figures []int
	entered, step := 0.0, 0.0
	for i, n := range notes {
		k := int(n.From - p.from)
		p.add(onsets, part, k, 1)
		p.add(lone, part, k, 1/float64(together[tick(n.From-p.from)]))
		p.add(lengths, part, k, math.Log2(max(n.To-n.From, 1./16)))
		p.spread(sounds, part, n.From, n.To, 1)
		p.spread(heights, part, n.From, n.To, float64(n.Key))
		p.spread(loudness, part, n.From, n.To, n.LevelDB)
		if i == 0 || n.From-notes[i-1].To >= restQuarters {
			entered = n.From
		}
		p.spread(entering, part, n.From, n.To, math.Exp(-(n.From-entered)/8))
		if i == 0 {
			continue
		}
		last := notes[i-1]
		interval := n.Key - last.Key
		p.add(moves, part, k, truth(interval != 0))
		p.add(stepped, part, k, truth(interval != 0 && max(interval, -interval) <= 2))
		isNew := !slices.ContainsFunc(notes[max(i-8, 0):i], func(m Sung) bool { return m.Key == n.Key })
		p.add(news, part, k, truth(isNew))
		now := n.From - last.From
		figure := contour(interval) * 64
		if step > 0 {
			figure += int(math.Round(6*math.Log2(now/step))) + 32
		}
		step = now
		figures = append(figures, figure)
		p.add(figured, part, k, goesRound(figures))
	}
}

// goesRound is how far the last moves of a line repeat those of a period before, 0..1.
func goesRound(figures []int) (most float64) {
	n := len(figures)
	for _, period := range [...]int{1, 2, 3, 4, 6, 8} {
		if n < period+figureMemory {
			break
		}
		same := 0.0
		for i := n - figureMemory; i < n; i++ {
			same += truth(figures[i] == figures[i-period]) / figureMemory
		}
		most = max(most, same)
	}
	return most
}

// quarterSlots is in how many places of a quarter the parts are compared.
const quarterSlots = 2

// compare counts what the parts are among each other.
func (p *Parts) compare(parts [][]Sung) {
	next, keys := make([]int, len(parts)), make([]int, len(parts))
	var classes [12]float64
	for slot := range quarterSlots * p.steps {
		at, step := p.from+(float64(slot)+0.5)/quarterSlots, slot/quarterSlots
		high, low := math.MinInt, math.MaxInt
		clear(classes[:])
		for i, notes := range parts {
			for next[i] < len(notes) && notes[next[i]].To <= at {
				next[i]++
			}
			keys[i] = math.MinInt
			if next[i] < len(notes) && notes[next[i]].From <= at {
				keys[i] = notes[next[i]].Key
				high, low = max(high, keys[i]), min(low, keys[i])
				classes[pitchClass(keys[i])]++
			}
		}
		for i, key := range keys {
			if key == math.MinInt {
				continue
			}
			p.add(tops, i, step, truth(key == high)/quarterSlots)
			p.add(bottoms, i, step, truth(key == low)/quarterSlots)
			p.add(alike, i, step, (classes[pitchClass(key)]-1)/quarterSlots)
		}
	}
}

// in is what was counted of a part over some steps.
func (p *Parts) in(count, part, from, to int) float64 {
	sum := float32(0)
	for _, x := range p.counted[count][part*p.steps+from : part*p.steps+to] {
		sum += x
	}
	return float64(sum)
}
