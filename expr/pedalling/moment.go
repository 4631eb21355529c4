package pedalling

import (
	"math"
	"math/bits"
)

// Moment is what starts together in a part, as far as it is known.
type Moment struct {
	At      float64 // s
	keys    keys
	Sounds  int     // notes that sound on from before
	Rest    float64 // silence before it, s
	Metre   int8    // 2 on the down-beat, 1 on a beat
	Written         // only of a score
}

// Add adds a note that starts, 0 to 127.
func (m *Moment) Add(key int) { m.keys.add(key & 127) }

// Written is what a score says of a moment beside its notes.
type Written struct {
	Next              float64 // to the next, s; 0 where nothing is known
	Longest, Shortest float64 // of its notes, s
	Dots, Slurs, Loud bool    // over any of its notes
	Level             float64 // of the dynamic, marks over mf
	Down, Goes        bool    // a pedal is marked to be down; to go down just here
	Left              float64 // s to the end
}

// The facts of a moment. Those from nextOnset on only a score knows.
const (
	fAlways = iota
	fSize
	fSounding
	fSoundsOn
	fRestBefore
	fLowest
	fHighest
	fWidth
	fByStep
	fByLeap
	fAgain
	fNewClasses
	fNewerClasses
	fClashes
	fLowClash
	fIsBass
	fNewBass
	fBassStep
	fSinceOnset
	fSinceBass
	fBassLeap
	fDownBeat
	fOnBeat
	fAfterGap
	fQuickBass
	fQuickClasses
	fNextOnset
	fLengthLongest
	fLengthShortest
	fEndsEarly
	fDotted
	fSlurred
	fAccented
	fLevel
	fMarked
	fMarkedHere
	fNearEnd
	facts
)

var factNames = [facts]string{
	"always", "notes, log", "sounding, log", "something sounds on", "rest before it", "lowest key", "highest key", "width",
	"a step", "a leap", "the same again", "new pitch classes", "pitch classes new for 0.4 s", "clashes, log", "how low they are",
	"is the bass", "a new bass", "a step of the bass", "time since the onset before, log", "time since the bass", "leap of the lowest",
	"on the down-beat", "on a beat", "after a gap", "a new bass, by the time before it", "new pitch classes, by the time before",
	"time to the next onset, log", "longest re the next onset, log", "shortest re the next onset, log", "ends before the next onset",
	"a dot", "a slur", "an accent", "level", "pedal marked", "pedal marked from here", "nearness of the end",
}

// Bounds of what a moment looks back for, s. Ours.
const (
	bassSpan   = 2.0
	classSpan  = 1.0
	newerSpan  = 0.4
	clashSpan  = 0.6
	leastOnset = 0.03
	mostOnset  = 4.0
	longAgo    = -100.0
)

// trace is what was heard of a part before a moment.
type trace struct {
	struck    [128]float64 // s, when each key last was
	class     [12]float64  // and each pitch class
	before    Moment
	any       bool
	bass      float64 // its key
	bassAt    float64
	low, high float64
	single    bool
}

func (t *trace) reset() {
	*t = trace{low: 60, high: 60, bass: 60}
	for k := range t.struck {
		t.struck[k] = longAgo
	}
	for k := range t.class {
		t.class[k] = longAgo
	}
}

// facts are those of the moment that comes next.
func (t *trace) facts(m *Moment, to *[facts]float64) {
	*to = [facts]float64{fAlways: 1}
	n := float64(m.keys.count())
	low, high := float64(m.keys.lowest()), float64(m.keys.highest())
	since := mostOnset
	if t.any {
		since = min(max(m.At-t.before.At, leastOnset), mostOnset)
	}
	to[fSize], to[fSounding] = math.Log2(n), math.Log2(n+float64(m.Sounds))
	to[fSoundsOn] = flag(m.Sounds > 0)
	to[fRestBefore] = min(m.Rest, 2)
	to[fLowest], to[fHighest], to[fWidth] = (low-48)/12, (high-72)/12, (high-low)/12
	step := math.Abs(high - t.high)
	alone := n == 1 && t.single
	to[fByStep], to[fByLeap] = flag(alone && step >= 1 && step <= 2), flag(alone && step > 2)
	to[fAgain] = flag(t.any && high == t.high && low == t.low)
	fresh, newer, classes, clash, deep := 0.0, 0.0, 0.0, 0.0, 0.0
	for c := m.keys.classes(); c != 0; c &= c - 1 {
		at := t.class[bits.TrailingZeros16(uint16(c))]
		classes++
		fresh += flag(m.At-at > classSpan)
		newer += flag(m.At-at > newerSpan)
	}
	for k := m.keys; !k.empty(); {
		key := k.pop()
		for _, d := range [...]int{-2, -1, 1, 2} {
			if o := key + d; o >= 0 && o < 128 && m.At-t.struck[o] < clashSpan {
				clash++
				deep = max(deep, (72-float64(min(key, o)))/12)
			}
		}
	}
	to[fNewClasses], to[fNewerClasses] = fresh/classes, newer/classes
	to[fClashes], to[fLowClash] = math.Log1p(clash), deep
	bass := t.lowestSince(m.At - bassSpan)
	if low <= bass+2 {
		to[fIsBass] = 1
		to[fNewBass] = flag(low != t.bass)
		to[fBassStep] = flag(low != t.bass && math.Abs(low-t.bass) <= 2)
	}
	to[fSinceOnset] = math.Log(since)
	to[fSinceBass] = mostOnset
	if t.any {
		to[fSinceBass] = min(m.At-t.bassAt, mostOnset)
	}
	to[fBassLeap] = min(math.Abs(low-t.low), 24) / 12
	to[fDownBeat], to[fOnBeat] = flag(m.Metre == 2), flag(m.Metre >= 1)
	to[fAfterGap] = flag(m.Rest > leastOnset)
	to[fQuickBass], to[fQuickClasses] = to[fNewBass]*to[fSinceOnset], to[fNewClasses]*to[fSinceOnset]
	if w := &m.Written; w.Next > 0 {
		next := min(max(w.Next, leastOnset), mostOnset)
		to[fNextOnset] = math.Log(next)
		to[fLengthLongest] = math.Log(min(max(w.Longest/next, 0.1), 8))
		to[fLengthShortest] = math.Log(min(max(w.Shortest/next, 0.1), 8))
		to[fEndsEarly] = flag(w.Shortest < 0.8*next)
		to[fDotted], to[fSlurred], to[fAccented] = flag(w.Dots), flag(w.Slurs), flag(w.Loud)
		to[fLevel] = w.Level
		to[fMarked], to[fMarkedHere] = flag(w.Down), flag(w.Goes)
		to[fNearEnd] = math.Exp(-max(w.Left, 0) / 4)
	}
}

// lowestSince is the lowest key that was struck since a time; a high one where none was.
func (t *trace) lowestSince(at float64) float64 {
	for k, s := range t.struck {
		if s >= at {
			return float64(k)
		}
	}
	return 127
}

// pass has a moment be what was heard.
func (t *trace) pass(m *Moment, f *[facts]float64) {
	for k := m.keys; !k.empty(); {
		key := k.pop()
		t.struck[key], t.class[key%12] = m.At, m.At
	}
	t.low, t.high = float64(m.keys.lowest()), float64(m.keys.highest())
	if f[fIsBass] > 0 {
		t.bass, t.bassAt = t.low, m.At
	}
	t.single = m.keys.count() == 1
	t.before, t.any = *m, true
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}
