package nuance

import "math"

// spans are how far a note looks to either side for what is near it, s.
var spans = [...]float64{oneSecondPast: 1, fourSecondsPast: 4, sixteenSecondsPast: 16}

const (
	oneSecondPast = iota
	fourSecondsPast
	sixteenSecondsPast
)

// lineSpans are how far it looks for the line on top.
var lineSpans = [...]float64{oneSecondLine: 1, fourSecondLine: 4, eightSecondLine: 8, sixteenSecondLine: 16, thirtySecondLine: 32}

const (
	oneSecondLine = iota
	fourSecondLine
	eightSecondLine
	sixteenSecondLine
	thirtySecondLine
)

// peakSpans are how far it looks for what is higher or lower than itself.
var peakSpans = [...]float64{quarterSecond: 0.25, halfSecond: 0.5, oneSecond: 1, twoSeconds: 2, fourSeconds: 4}

const (
	quarterSecond = iota
	halfSecond
	oneSecond
	twoSeconds
	fourSeconds
)

// around is what lies within a span on one side of a note.
type around struct {
	n    float64 // notes
	mean float64 // of their keys; the note's own where there are none
}

// above is what the moments within a span on one side make.
type above struct {
	moments  float64
	notes    float64
	sounding float64
	tops     float64 // moments that lead
	mean     float64 // of their tops; 0 where there are none
}

// onsets is how many moments a second that is, of the span of a line, on a scale of logarithms.
func (a *above) onsets(line int) float64 { return math.Log2(1 + a.moments/lineSpans[line]) }

// peak is the highest and lowest within a span on one side.
type peak struct {
	any  bool
	high float64
	low  float64
}

// view is what a scene shows around one of its notes.
type view struct {
	s       *Scene
	notes   []note // of the scene, as far as they are looked at
	moments []moment
	n       *note
	m       *moment
	i, mi   int

	// What sounds with it.
	high, low    float64 // itself included
	above, below float64 // the next higher and lower; itself where there is none
	count        float64
	higher       float64
	handHigh     float64
	highOn       float64 // when the highest was struck

	past, next         [len(spans)]around
	linePast, lineNext [len(lineSpans)]above
	peakPast, peakNext [len(peakSpans)]peak

	before, after *moment // that lead, or nil
	top, bottom   bool    // of all that sounds
}

// look looks around note i, as far ahead as is known.
func (v *view) look(s *Scene, i int, known Known) {
	n := &s.notes[i]
	*v = view{s: s, notes: s.notes, moments: s.moments, n: n, i: i, mi: int(n.moment), m: &s.moments[n.moment]}
	if known == Ahead {
		v.notes = s.notes[:reachOn(s.begins.notes, n.on+Lookahead.Seconds(), i+1)]
		v.moments = s.moments[:v.notes[len(v.notes)-1].moment+1]
	}
	v.sounds()
	v.spans()
	v.lines()
	v.peaks()
}

// sounds finds what sounds with the note.
func (v *view) sounds() {
	n := v.n
	v.high, v.low, v.above, v.below, v.count = n.key, n.key, 200, -1, 1
	v.handHigh, v.highOn = n.key, n.on
	see := func(b *note) {
		v.count++
		switch {
		case b.key > n.key:
			v.higher++
			v.above = min(v.above, b.key)
			if b.key > v.high {
				v.highOn = b.on
			}
		case b.key < n.key:
			v.below = max(v.below, b.key)
		}
		v.high, v.low = max(v.high, b.key), min(v.low, b.key)
		if b.hand == n.hand && n.hand != AnyHand {
			v.handHigh = max(v.handHigh, b.key)
		}
	}
	for j := v.i - 1; j >= 0 && j > v.i-reachNotes && v.notes[j].on > n.on-reach; j-- {
		if b := &v.notes[j]; b.off > n.on+tinyOverlap || b.moment == n.moment {
			see(b)
		}
	}
	for j := v.i + 1; j < len(v.notes) && v.notes[j].moment == n.moment; j++ {
		see(&v.notes[j])
	}
	v.above, v.below = min(v.above, max(v.high, n.key)), max(v.below, min(v.low, n.key))
	v.top, v.bottom = v.high == n.key, v.low == n.key
}

// reachBack is the first place under hi from which on nothing is before a time, and reachOn the first
// from lo on. Times rise, and what is looked for is near, so that they look from there: few lines of
// memory are read where a part has not been looked at for a while.
func reachBack(times []float64, at float64, hi int) int {
	step := 1
	for hi > 0 && times[max(hi-step, 0)] >= at {
		hi = max(hi-step, 0)
		step *= 2
	}
	return between(times, at, max(hi-step, 0), hi)
}

func reachOn(times []float64, at float64, lo int) int {
	step := 1
	for lo < len(times) && times[min(lo+step, len(times))-1] < at {
		lo = min(lo+step, len(times))
		step *= 2
	}
	return between(times, at, lo, min(lo+step, len(times)))
}

// between is the first place from lo to hi from which on nothing is before a time.
func between(times []float64, at float64, lo, hi int) int {
	for lo < hi {
		if mid := (lo + hi) / 2; times[mid] < at {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	return lo
}

// keysBefore is the sum of the keys of the first i notes, past those that are forgotten.
func (v *view) keysBefore(i int) float64 {
	if i == len(v.notes) {
		return v.notes[i-1].keys + v.notes[i-1].key
	}
	return v.notes[i].keys
}

// spans sums up the notes within each span.
func (v *view) spans() {
	n := v.n
	lo, hi := v.i, v.i+1
	for k, w := range spans {
		lo = reachBack(v.s.begins.notes, n.on-w, lo)
		hi = reachOn(v.s.begins.notes[:len(v.notes)], n.on+w, hi)
		p, q := &v.past[k], &v.next[k]
		p.n, q.n = float64(v.i-lo), float64(hi-v.i-1)
		p.mean, q.mean = n.key, n.key
		if p.n > 0 {
			p.mean = (n.keys - v.notes[lo].keys) / p.n
		}
		if q.n > 0 {
			q.mean = (v.keysBefore(hi) - n.keys - n.key) / q.n
		}
	}
}

// lines sums up the moments within each span, and finds those that lead on either side.
func (v *view) lines() {
	lo, hi := v.mi, v.mi+1
	for k, w := range lineSpans {
		lo = reachBack(v.s.begins.moments, v.m.at-w, lo)
		hi = reachOn(v.s.begins.moments[:len(v.moments)], v.m.at+w, hi)
		v.sum(lo, v.mi, &v.linePast[k])
		v.sum(v.mi+1, hi, &v.lineNext[k])
	}
	const far = 24 // moments
	for j := v.mi - 1; j >= 0 && j > v.mi-far && v.before == nil; j-- {
		if v.moments[j].leads() {
			v.before = &v.moments[j]
		}
	}
	for j := v.mi + 1; j < len(v.moments) && j < v.mi+far && v.after == nil; j++ {
		if v.moments[j].leads() {
			v.after = &v.moments[j]
		}
	}
}

// sum sums up the moments from a to before b.
func (v *view) sum(a, b int, to *above) {
	if a >= b {
		return
	}
	x, y := &v.moments[a], &v.moments[b-1]
	to.moments = float64(b - a)
	to.notes = y.pastNotes - x.pastNotes + float64(y.n)
	to.sounding = y.pastSounding - x.pastSounding + float64(y.sounding)
	sum := y.pastTops - x.pastTops
	to.tops = y.pastN - x.pastN
	if y.leads() {
		to.tops, sum = to.tops+1, sum+y.top
	}
	if to.tops > 0 {
		to.mean = sum / to.tops
	}
}

// peaks finds the highest and lowest within each span.
func (v *view) peaks() {
	const most = 160 // moments
	p := peak{low: 200}
	k := 0
	for j := v.mi - 1; ; j-- {
		for k < len(peakSpans) && (j < 0 || j < v.mi-most || v.moments[j].at < v.m.at-peakSpans[k]-tinyOverlap) {
			v.peakPast[k] = p
			k++
		}
		if k == len(peakSpans) {
			break
		}
		p = peak{true, max(p.high, v.moments[j].top), min(p.low, v.moments[j].bottom)}
	}
	p, k = peak{low: 200}, 0
	for j := v.mi + 1; ; j++ {
		for k < len(peakSpans) && (j >= len(v.moments) || j > v.mi+most || v.moments[j].at > v.m.at+peakSpans[k]+tinyOverlap) {
			v.peakNext[k] = p
			k++
		}
		if k == len(peakSpans) {
			return
		}
		p = peak{true, max(p.high, v.moments[j].top), min(p.low, v.moments[j].bottom)}
	}
}
