package lines

import (
	"cmp"
	"math"
	"slices"
)

// Note is a note of a part, in quarter notes since the piece's start.
type Note struct {
	From, To float64
	Key      int // MIDI note
}

// Tie is how two parts go together, from the loosest.
type Tie uint8

// The ties.
const (
	Apart   Tie = iota
	Thirds      // thirds or sixths apart, octaves added or not
	Octaves     // one or more
	Unison
)

// String is the tie in words.
func (t Tie) String() string {
	return [...]string{"apart", "in thirds or sixths", "in octaves", "in unison"}[t]
}

const (
	ticks  = 24  // of a quarter: notes begin together at one tick
	step   = 12  // ticks of a step
	window = 4   // steps of a stretch that is compared
	agree  = 0.9 // of the notes and of the time, for parts that go together
)

// maxPlaces bounds what is compared, in steps of all pairs of parts: it takes as many bytes.
const maxPlaces = 1 << 28

// Lines are the ties of the parts of a score.
type Lines struct {
	parts, steps int
	from         float64 // where the first step begins, quarter notes
	pairs        [][]Tie // by pair, by step; nil: they are never tied
	sounds       [][]chord
}

// chord is the notes of a part in a step that sound, or that begin at a tick of it.
type chord struct {
	classes uint16    // pitch classes
	keys    [2]uint64 // and keys
}

func (c *chord) add(key int) {
	c.classes |= 1 << (key % 12)
	c.keys[key/64] |= 1 << (key % 64)
}

// stroke is the notes that a part begins at a tick.
type stroke struct {
	tick int
	chord
}

// Read finds the ties. Nil if there are fewer than two parts, no note, or too many. Keys lie within 0..127.
func Read(parts [][]Note) *Lines {
	from, to := math.Inf(1), math.Inf(-1)
	for _, notes := range parts {
		for _, n := range notes {
			from, to = min(from, math.Floor(n.From)), max(to, n.To)
		}
	}
	steps := math.Ceil((to - from) * ticks / step)
	pairs := len(parts) * (len(parts) - 1) / 2
	if pairs == 0 || !(steps >= 1 && steps*float64(pairs) <= maxPlaces) {
		return nil
	}
	l := &Lines{parts: len(parts), steps: int(steps), from: from, pairs: make([][]Tie, pairs), sounds: make([][]chord, len(parts))}
	strokes := make([][][]stroke, len(parts)) // by part, by step
	for i, notes := range parts {
		l.sounds[i], strokes[i] = l.lay(notes)
	}
	c := comparison{Lines: l, counts: make([]count, l.steps)}
	for a := range parts {
		for b := range a {
			l.pairs[pair(a, b)] = c.compare(a, b, strokes[a], strokes[b])
		}
	}
	return l
}

// pair numbers the pairs of parts.
func pair(a, b int) int {
	if a < b {
		a, b = b, a
	}
	return a*(a-1)/2 + b
}

// lay lays a part's notes over the steps: what sounds in each for a third of it or more, and what begins in it.
func (l *Lines) lay(notes []Note) (sounds []chord, strokes [][]stroke) {
	sounds, strokes = make([]chord, l.steps), make([][]stroke, l.steps)
	notes = slices.Clone(notes)
	slices.SortStableFunc(notes, func(a, b Note) int { return cmp.Compare(a.From, b.From) })
	for _, n := range notes {
		if n.Key < 0 || n.Key > 127 || !(n.To > n.From) {
			continue
		}
		first, last := l.tick(n.From), max(l.tick(n.To), l.tick(n.From)+1)
		for k := first / step; k*step < last && k < l.steps; k++ {
			if 3*(min(last, (k+1)*step)-max(first, k*step)) >= step || k == first/step {
				sounds[k].add(n.Key)
			}
		}
		k := first / step
		if k >= l.steps {
			continue
		}
		if m := len(strokes[k]); m == 0 || strokes[k][m-1].tick != first {
			strokes[k] = append(strokes[k], stroke{tick: first})
		}
		strokes[k][len(strokes[k])-1].add(n.Key)
	}
	return sounds, strokes
}

func (l *Lines) tick(q float64) int { return int(math.Round((q - l.from) * ticks)) }

// alike is how two chords go together.
func alike(a, b *chord) Tie {
	switch {
	case a.classes == 0 || b.classes == 0:
		return Apart
	case a.keys[0]&b.keys[0] != 0 || a.keys[1]&b.keys[1] != 0:
		return Unison
	case a.classes&b.classes != 0:
		return Octaves
	case turned(a.classes, 3)&b.classes != 0 || turned(a.classes, 4)&b.classes != 0 || turned(a.classes, 8)&b.classes != 0 || turned(a.classes, 9)&b.classes != 0:
		return Thirds
	}
	return Apart
}

// turned are pitch classes moved up by semitones.
func turned(classes uint16, by int) uint16 {
	return (classes<<by | classes>>(12-by)) & (1<<12 - 1)
}

// count is what two parts have in common in a step.
type count struct {
	strokes uint8            // either begins a note
	common  [Unison + 1]int8 // both do at once, by how they go together
	both    bool             // both sound
	tie     Tie              // how what sounds goes together
}

// comparison compares parts two by two.
type comparison struct {
	*Lines
	counts []count
}

// compare finds the ties of two parts; nil if there are none.
func (c *comparison) compare(a, b int, of, with [][]stroke) []Tie {
	any := false
	for k := range c.counts {
		n := &c.counts[k]
		*n = count{tie: alike(&c.sounds[a][k], &c.sounds[b][k])}
		n.both = c.sounds[a][k].classes != 0 && c.sounds[b][k].classes != 0
		if !n.both {
			continue
		}
		any = any || n.tie != Apart
		x, y := of[k], with[k]
		for len(x) > 0 || len(y) > 0 {
			n.strokes++
			switch {
			case len(y) == 0 || len(x) > 0 && x[0].tick < y[0].tick:
				x = x[1:]
			case len(x) == 0 || y[0].tick < x[0].tick:
				y = y[1:]
			default:
				n.common[alike(&x[0].chord, &y[0].chord)]++
				x, y = x[1:], y[1:]
			}
		}
	}
	if !any {
		return nil
	}
	var ties []Tie
	for k := range c.counts {
		if t := c.tie(k); t != Apart {
			if ties == nil {
				ties = make([]Tie, c.steps)
			}
			ties[k] = t
		}
	}
	return ties
}

// tie is how the two parts go together in a step: the closest by any stretch that has it.
func (c *comparison) tie(k int) (closest Tie) {
	if !c.counts[k].both || c.counts[k].tie == Apart {
		return Apart
	}
	for _, from := range [...]int{k - window + 1, k - window/2, k} {
		closest = max(closest, c.stretch(max(from, 0), min(from+window, c.steps)))
	}
	return min(closest, max(c.counts[k].tie, Octaves))
}

// stretch is how they go together over some steps.
func (c *comparison) stretch(from, to int) Tie {
	var strokes, both int
	var common, time [Unison + 1]int
	for k := from; k < to; k++ {
		n := &c.counts[k]
		strokes += int(n.strokes)
		for t := range common {
			common[t] += int(n.common[t])
		}
		if n.both {
			both++
			time[n.tie]++
		}
	}
	enough := func(x, of int) bool { return float64(x) >= agree*float64(of) }
	unison, octaves := common[Unison], common[Unison]+common[Octaves]
	same := time[Unison] + time[Octaves]
	switch {
	case strokes == 0 || !enough(unison+octaves+common[Thirds], strokes) && !enough(octaves, strokes):
		return Apart
	case enough(unison, strokes) && enough(time[Unison], both):
		return Unison
	case enough(octaves, strokes) && enough(same, both):
		return Octaves
	case strokes >= 2 && enough(octaves+common[Thirds], strokes) && enough(same+time[Thirds], both):
		return Thirds
	}
	return Apart
}

// Size is how many parts and steps there are.
func (l *Lines) Size() (parts, steps int) { return l.parts, l.steps }

// Step is the step in which a place stands, in quarter notes since the piece's start; held within the piece.
func (l *Lines) Step(quarter float64) int {
	return min(max(int(math.Floor((quarter-l.from)*ticks/step+1e-6)), 0), l.steps-1)
}

// Begin is where a step begins, in quarter notes since the piece's start.
func (l *Lines) Begin(at int) float64 { return l.from + float64(at)*step/ticks }

// Sounds reports whether a part sounds in a step.
func (l *Lines) Sounds(part, at int) bool { return l.sounds[part][at].classes != 0 }

// Tie is how two parts go together in a step.
func (l *Lines) Tie(a, b, at int) Tie {
	if a == b {
		return Unison
	}
	ties := l.pairs[pair(a, b)]
	if ties == nil {
		return Apart
	}
	return ties[at]
}

// Together is for how much of a stretch two parts go together in unison or octaves, as a share of the
// steps in which either sounds; steps go from the first to before another. It is 0 where both rest.
func (l *Lines) Together(a, b, from, to int) float64 {
	either, tied := 0, 0
	for at := from; at < to; at++ {
		if l.Sounds(a, at) || l.Sounds(b, at) {
			either++
			if l.Tie(a, b, at) >= Octaves {
				tied++
			}
		}
	}
	return float64(tied) / float64(max(either, 1))
}

// Line fills in for each part which line it is in, in a stretch: that of the first of the parts that go
// together in unison or octaves for half of the time that they sound, or longer. Parts that rest are in
// line -1. to must be as long as there are parts.
func (l *Lines) Line(from, until int, to []int) {
	for a := range to {
		to[a] = -1
		for at := from; at < until && to[a] < 0; at++ {
			if l.Sounds(a, at) {
				to[a] = a
			}
		}
	}
	for a := range to {
		for b := range a {
			if to[a] >= 0 && to[b] >= 0 && to[a] != to[b] && 2*l.Together(a, b, from, until) >= 1 {
				low, high := min(to[a], to[b]), max(to[a], to[b])
				for i := range to {
					if to[i] == high {
						to[i] = low
					}
				}
			}
		}
	}
}

// Same reports whether two parts sound the same note in a step, or its octaves.
func (l *Lines) Same(a, b, at int) bool { return alike(&l.sounds[a][at], &l.sounds[b][at]) >= Octaves }
