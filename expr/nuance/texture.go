package nuance

import (
	"math"
	"math/bits"
)

var fullNames = []string{
	"notes that sound", "notes of its chord",
	"size of chords in the last 1 s", "size of chords in the last 4 s", "size of chords in the next 1 s", "size of chords in the next 16 s",
	"notes that sound in the next 16 s", "range of the last 2 s", "range of the next 2 s", "notes held from before",
}

// fullness is how full the chord is, and the music around.
func (v *view) fullness(t *sink) {
	size := func(a *above) float64 { return math.Log2((1 + a.notes) / (1 + a.moments)) }
	t.add(math.Log2(v.count))
	t.add(math.Log2(float64(v.m.n)))
	t.add(size(&v.linePast[oneSecondLine]))
	t.add(size(&v.linePast[fourSecondLine]))
	t.add(size(&v.lineNext[oneSecondLine]))
	q := &v.lineNext[sixteenSecondLine]
	t.add(size(q))
	t.add(math.Log2((1 + q.sounding) / (1 + q.moments)))
	for _, p := range [...]*peak{&v.peakPast[twoSeconds], &v.peakNext[twoSeconds]} {
		t.add(is(p.any) * octaves(p.high-p.low, 0, 84))
	}
	t.add(math.Log2(1 + max(v.count-float64(v.m.n), 0)))
}

var denseNames = []string{
	"notes in the last 1 s", "notes in the last 16 s",
	"onsets in the last 1 s", "onsets in the last 4 s",
	"onsets in the next 1 s", "onsets in the next 32 s",
	"time since the onset before",
}

// density is how dense and quick the music is.
func (v *view) density(t *sink) {
	t.add(math.Log2(1 + v.past[oneSecondPast].n/spans[oneSecondPast]))
	t.add(math.Log2(1 + v.past[sixteenSecondsPast].n/spans[sixteenSecondsPast]))
	for _, k := range [...]int{oneSecondLine, fourSecondLine} {
		t.add(v.linePast[k].onsets(k))
	}
	for _, k := range [...]int{oneSecondLine, thirtySecondLine} {
		t.add(v.lineNext[k].onsets(k))
	}
	since := 0.0
	if v.mi > 0 {
		since = math.Log2(clip(v.m.at-v.moments[v.mi-1].at, 0.04, 4))
	}
	t.add(since)
}

var lengthNames = []string{"its length, if highest", "length of the line's note before"}

// noteLength is how long the note is, and those around it.
func (v *view) noteLength(t *sink) {
	t.add(is(v.top) * v.n.logLength())
	before := 0.0
	if v.before != nil {
		before = v.s.topLength(v.before)
	}
	t.add(before)
}

var novelNames = []string{
	"pitch class in the last 1 s", "pitch class in the last 16 s", "pitch class in the next 1 s",
	"struck again in the last 1 s", "struck again in the next 1 s", "struck again in the next 4 s",
	"new pitch classes of its chord", "change of the harmony",
	"share of its chord in the last one", "share of its chord in the last but one", "pitch classes of the last 4 s",
}

// novelty is how new or how worn the note and its chord are.
func (v *view) novelty(t *sink) {
	t.add(v.classPast(oneSecondPast))
	t.add(v.classPast(sixteenSecondsPast))
	t.add(v.classNext(oneSecondPast))
	t.add(v.again(-1, 1))
	t.add(v.again(1, 1))
	t.add(v.again(1, 4))
	const near, most = 1.5, 40 // s, moments
	m := v.m
	was, will := v.s.classesBefore(v.mi, near), uint16(0)
	for j := v.mi + 1; j < len(v.moments) && j < v.mi+most && v.moments[j].at < m.at+near; j++ {
		will |= v.moments[j].chroma
	}
	t.add(is(v.mi > 0) * count(m.chroma&^was) / max(1, count(m.chroma)))
	change := 0.0
	if was != 0 && will != 0 {
		change = count((m.chroma|will)&^was) / count(m.chroma|will)
	}
	t.add(change)
	for back := 1; back <= 2; back++ {
		same := 0.0
		if v.mi >= back {
			same = count(m.chroma&v.moments[v.mi-back].chroma) / max(1, count(m.chroma))
		}
		t.add(same)
	}
	t.add(count(v.s.classesBefore(v.mi, 4)))
}

// classPast is the binary logarithm of the share of the note's pitch class in a span before it.
func (v *view) classPast(span int) float64 {
	c := int(v.n.key) % 12
	lo := reachBack(v.s.begins.notes, v.n.on-spans[span], v.i)
	return classShare(v.n.classes[c]-v.notes[lo].classes[c], v.past[span].n)
}

// classNext is that in a span after it.
func (v *view) classNext(span int) float64 {
	c, same := int(v.n.key)%12, int32(0)
	if hi := reachOn(v.s.begins.notes[:len(v.notes)], v.n.on+spans[span], v.i+1) - 1; hi > v.i {
		same = v.notes[hi].classes[c] - v.n.classes[c] - 1
		if int(v.notes[hi].key)%12 == c {
			same++
		}
	}
	return classShare(same, v.next[span].n)
}

// classShare is the binary logarithm of a share of so many notes. Before there are notes it is a
// twelfth.
func classShare(same int32, notes float64) float64 {
	return math.Log2((float64(same) + 0.5) / (notes + 6))
}

// again is how often the note's key is struck within so many seconds on one side, on a scale of
// logarithms.
func (v *view) again(step int, span float64) float64 {
	const most = 120 // notes
	n := 0.0
	for j, c := v.i+step, 0; j >= 0 && j < len(v.notes) && c < most; j, c = j+step, c+1 {
		b := &v.notes[j]
		if math.Abs(b.on-v.n.on) > span {
			break
		}
		n += is(b.key == v.n.key)
	}
	return math.Log2(1 + n)
}

func count(chroma uint16) float64 { return float64(bits.OnesCount16(chroma)) }
