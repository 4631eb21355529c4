package nuance

var heightNames = []string{
	"height", "height over 52", "height over 64", "height over 76", // MIDI notes where the line may bend
	"over the mean of the last 1 s", "over the mean of the last 4 s", "over the mean of the next 4 s", "over the mean of the next 16 s",
	"share of the last 1 s that is lower", "share of the last 4 s that is lower",
	"the line falls to it", "the line falls from it", "the line leaps down to it",
	"the line's rise over 8 s", "the line's rise over 16 s",
	"the line's height in the last 8 s", "the line's height in the last 32 s",
	"over the highest note after it", "height, by the onsets of the last 4 s",
}

// height is how high the note is, in itself, among others, and in the line.
func (v *view) height(t *sink) {
	key := v.n.key
	t.add((key - 64) / 12)
	for _, k := range [...]float64{52, 64, 76} {
		t.add(max(0, key-k) / 12)
	}
	t.add((key - v.past[oneSecondPast].mean) / 12)
	t.add((key - v.past[fourSecondsPast].mean) / 12)
	t.add((key - v.next[fourSecondsPast].mean) / 12)
	t.add((key - v.next[sixteenSecondsPast].mean) / 12)
	t.add(v.shareBelow(1))
	t.add(v.shareBelow(4))
	down, next := 0.0, 0.0
	if v.before != nil && v.top {
		down = v.before.top - key
	}
	if v.after != nil && v.top {
		next = key - v.after.top
	}
	t.add(octaves(down, 0, 16))
	t.add(octaves(next, 0, 16))
	const leap = 4 // semitones: a major third, and more than that leaps
	t.flag(down > leap)
	for _, k := range [...]int{eightSecondLine, sixteenSecondLine} {
		p, q := &v.linePast[k], &v.lineNext[k]
		t.add(is(p.tops > 0 && q.tops > 0) * (q.mean - p.mean) / 12)
	}
	for _, k := range [...]int{eightSecondLine, thirtySecondLine} {
		p := &v.linePast[k]
		t.add(is(p.tops > 0) * (p.mean - 64) / 12)
	}
	over := 0.0
	if v.mi+1 < len(v.moments) {
		over = octaves(key-v.moments[v.mi+1].top, 0, 24)
	}
	t.add(over)
	t.add((key - 64) / 12 * v.linePast[fourSecondLine].onsets(fourSecondLine))
}

// shareBelow is the share of notes within so many seconds before that are lower.
func (v *view) shareBelow(span float64) float64 {
	const most = 120 // notes
	n, below := 0.0, 0.0
	for j := v.i - 1; j >= 0 && j >= v.i-most && v.n.on-v.notes[j].on <= span; j-- {
		n++
		below += is(v.notes[j].key < v.n.key)
	}
	return (below + 1) / (n + 2)
}
