package nuance

import "math"

var topNames = []string{
	"is the highest that sounds", "is the highest of its chord", "sounds alone",
	"under the highest, up to a fifth", "share of what sounds that is higher", "higher notes that sound",
	"over the next, if highest", "under the next, if not highest", "over the next, if inner",
	"over the last note of the line", "under the last note of the line, if not highest",
	"under the highest of the last 0.25 s", "under the highest of the last 1 s",
	"is the highest for 1 s", "is the highest for 4 s",
	"share of near notes of the last 12 s that led", "share of near notes of the next 12 s that lead",
	"near notes of the last 4 s",
	"is the highest, by the onsets of the last 4 s", "a higher note was struck lately",
}

// topLine is whether the note is, or may be, the tune.
func (v *view) topLine(t *sink) {
	key := v.n.key
	t.flag(v.top)
	t.flag(key == v.m.top)
	t.flag(v.count == 1)
	t.add(octaves(v.high-key, 0, 7))
	t.add(v.higher / max(1, v.count-1))
	t.add(min(v.higher, 5))
	t.add(is(v.top && v.count > 1) * octaves(key-v.below, 0, 24))
	t.add(is(!v.top) * octaves(v.above-key, 0, 24))
	t.add(is(!v.top && !v.bottom) * octaves(key-v.below, 0, 24))
	re := 0.0
	if v.before != nil {
		re = key - v.before.top
	}
	t.add(octaves(re, -36, 12))
	t.add(is(!v.top) * octaves(re, -24, 0))
	quarter, one, four := &v.peakPast[quarterSecond], &v.peakPast[oneSecond], &v.peakPast[fourSeconds]
	t.add(is(quarter.any) * octaves(max(quarter.high, v.high)-key, 0, 36))
	t.add(is(one.any) * octaves(max(one.high, v.high)-key, 0, 36))
	t.flag(v.top && key >= one.high)
	t.flag(v.top && key >= four.high)
	past, next := v.near(-1), v.near(1)
	t.add(past.led)
	t.add(next.led)
	t.add(past.often)
	t.add(is(v.top) * v.linePast[fourSecondLine].onsets(fourSecondLine))
	t.add(is(v.higher > 0) * fade(v.n.on-v.highOn, 0.5))
}

// nearby is what the notes near in key are, on one side.
type nearby struct {
	often float64 // within 4 s, on a scale of logarithms
	led   float64 // share of those within 12 s that are the highest that sound
}

// nearness is how much a note counts that is so many semitones away.
var nearness = [...]float64{1, 0.67, 0.45, 0.3, 0.2, 0.14, 0.09, 0.06}

// near finds what the notes near in key are in a direction.
func (v *view) near(step int) (x nearby) {
	const (
		most        = 200      // notes
		often, far  = 4, 12    // s
		doubt, knew = 0.5, 0.2 // notes that are assumed, and those of them that lead
	)
	sum, led := 0.0, 0.0
	for j, c := v.i+step, 0; j >= 0 && j < len(v.notes) && c < most; j, c = j+step, c+1 {
		b := &v.notes[j]
		away := math.Abs(b.on - v.n.on)
		if away > far {
			break
		}
		d := int(math.Abs(b.key - v.n.key))
		if d >= len(nearness) || b.moment == v.n.moment {
			continue
		}
		w := nearness[d]
		sum += w
		if away <= often {
			x.often += w
		}
		if b.key == v.moments[b.moment].high {
			led += w
		}
	}
	return nearby{math.Log2(1 + x.often), (led + knew) / (sum + doubt)}
}

var bassNames = []string{
	"is the lowest that sounds", "size of its chord, if lowest", "over the lowest that sounds",
	"over the lowest of the last 0.25 s", "over the lowest of the last 0.5 s", "over the lowest of the last 4 s",
	"over the lowest of the next 0.25 s", "over the lowest of the next 2 s", "over the lowest of the next 4 s",
	"is the lowest for 2 s", "is the lowest of the next 0.5 s", "is the lowest for 0.5 s on either side", "is the lowest for 2 s on either side",
	"over the middle of the last 0.5 s",
	"is the lowest, by the onsets of the last 4 s", "is the lowest, by height",
}

// bassLine is whether the note is, or may be, the bass.
func (v *view) bassLine(t *sink) {
	key := v.n.key
	t.flag(v.bottom)
	t.add(is(v.bottom && v.count > 1) * math.Log2(v.count))
	t.add(octaves(key-v.low, 0, 36))
	over := func(p *peak) float64 { return is(p.any) * octaves(key-min(p.low, v.low), 0, 36) }
	t.add(over(&v.peakPast[quarterSecond]))
	t.add(over(&v.peakPast[halfSecond]))
	t.add(over(&v.peakPast[fourSeconds]))
	t.add(over(&v.peakNext[quarterSecond]))
	t.add(over(&v.peakNext[twoSeconds]))
	t.add(over(&v.peakNext[fourSeconds]))
	lowest := func(p *peak) bool { return v.bottom && key <= p.low }
	half, two := lowest(&v.peakNext[halfSecond]), lowest(&v.peakPast[twoSeconds])
	t.flag(two)
	t.flag(half)
	t.flag(half && lowest(&v.peakPast[halfSecond]))
	t.flag(two && lowest(&v.peakNext[twoSeconds]))
	p := &v.peakPast[halfSecond]
	t.add(is(p.any) * octaves(key-(p.low+p.high)/2, -18, 18))
	t.add(is(v.bottom) * v.linePast[fourSecondLine].onsets(fourSecondLine))
	t.add(is(v.bottom) * (key - 64) / 12)
}

var handNames = []string{"is the right hand's highest", "is the left hand's highest", "under its hand's highest"}

// twoHands is what the note is in its hand.
func (v *view) twoHands(t *sink) {
	n := v.n
	top := v.handHigh == n.key
	t.flag(n.hand == Right && top)
	t.flag(n.hand == Left && top)
	t.add(octaves(v.handHigh-n.key, 0, 12))
}
