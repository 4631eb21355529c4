package hearing

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/listening"
)

// What makes a boundary one of phrases: how strong it is, and how long the phrase
// before it has been. Ours, not published.
const (
	phraseStrength = 0.75
	phraseTime     = 2 * time.Second
	subTime        = time.Second
)

// meanNotes is over how many notes the running means of a line go. Ours.
const meanNotes = 8

// lead takes the newest tone as what its voice does now.
func (l *Line) lead(v *stream, number int64) {
	v.last = number
	t := l.Tone(number)
	before := l.Tone(t.prev)
	t.phrase, t.sub, t.breath = t.On, t.On, t.On
	t.Starts, t.strength = StartsPhrase|startsSub, 1
	if before == nil {
		v.mean = float64(t.Key)
		v.accent = usualAccent
	} else {
		t.phrase, t.sub, t.Starts, t.strength = before.phrase, before.sub, 0, 0
		v.shape.End(before.Off)
		l.rest(v, before, t)
	}
	strength, known := v.shape.Next(t.On, expr.Unknown, int(t.Key))
	if known && before != nil {
		if before.even {
			strength = min(strength, evenStrength)
		}
		l.bound(before, float32(strength))
		t.phrase, t.sub = before.phrase, before.sub
		if a := l.accentOf(before); a != expr.Unknown {
			v.accent += (a - v.accent) / meanNotes
		}
	}
	if v.shape.Rested() && !t.even {
		l.bound(t, 1)
	}
	if t.Starts&StartsPhrase != 0 {
		v.mean = float64(t.Key) // what was before is not what this one is high or low beside
	}
	v.mean += (float64(t.Key) - v.mean) / meanNotes
	t.mean, t.accent = float32(v.mean), float32(v.accent)
}

// What a rest is. Ours, not published.
const (
	breathRest   = 200 * time.Millisecond // the shortest in which a player can breathe
	evenRest     = 1.5                    // times the mean of the rests before, under which one is of their kind
	evenStrength = 0.4                    // the most that a boundary at such a rest can have: less than makes one
)

// rest keeps the rest between two tones. In an ostinato with rests no phrase ends with each.
func (l *Line) rest(v *stream, before, t *Tone) {
	rest := time.Duration(0)
	if before.Off != expr.Unknown {
		rest = max(t.On-before.Off, 0)
	}
	t.even = v.rest > 0 && rest.Seconds() < evenRest*v.rest
	v.rest += (rest.Seconds() - v.rest) / 2
	if rest < breathRest {
		t.breath = before.breath
	}
}

// beat keeps where in the metre a tone stands.
func (l *Line) beat(number int64, beat float64, level int, sure float64) {
	t := l.Tone(number)
	t.beat, t.beatLevel, t.beatSure = beat, int8(level), float32(sure)
	v := &l.streams[t.voice]
	if v.last == number && t.prev == 0 {
		v.metre = sure * float64(level-1) / 2 // half of it may be the line's way
	} else if v.last == number {
		v.metre += (sure*float64(level-1) - v.metre) / meanNotes
	}
	t.metre = float32(v.metre)
}

// usualAccent is the mean melodic accent of a line of which nothing is known yet: about
// that of the example that Thomassen's model is quoted with.
const usualAccent = 0.3

// bound takes up the strength of the boundary before a tone.
func (l *Line) bound(t *Tone, strength float32) {
	if t.prev == 0 || strength <= t.strength {
		return
	}
	t.strength = strength
	if strength < listening.BoundaryThreshold {
		return
	}
	if before := l.Tone(t.prev); before != nil && before.strength > strength && before.Starts != 0 {
		return // the stronger of two neighbours is the boundary
	}
	if t.On-t.sub >= subTime || strength >= 1 {
		t.sub = t.On
		t.Starts |= startsSub
	}
	if strength >= phraseStrength && t.On-t.phrase >= phraseTime {
		t.phrase = t.On
		t.Starts |= StartsPhrase | startsSub
		t.sub = t.On
	}
}

// accentOf is a leading tone's melodic accent; Unknown for the first of a line, and while
// nobody knows what follows.
func (l *Line) accentOf(t *Tone) float64 {
	next, last := l.Tone(t.Next), l.Tone(t.prev)
	if next == nil || last == nil { // the model gives a first note all there is, by convention
		return expr.Unknown
	}
	beforeLast := l.Tone(last.prev)
	return listening.MelodicAccent(keyOf(beforeLast), keyOf(last), int(t.Key), int(next.Key))
}

func keyOf(t *Tone) int {
	if t == nil {
		return expr.Unknown
	}
	return int(t.Key)
}

// maxScan is how many notes are looked ahead for the end of a phrase.
const maxScan = 64

// span is where a tone stands in its phrase, or in its part of one, as far as the line has come.
func (l *Line) span(t *Tone, kind starting) expr.Span {
	s := expr.Span{Since: t.since(kind), Until: expr.Unknown}
	last := t
	for range maxScan {
		next := l.Tone(last.Next)
		if next == nil {
			break
		}
		if next.Starts&kind != 0 {
			s.End, s.Final = float64(next.strength), last == t
			s.Until = endOf(last, next) - t.On
			break
		}
		last = next
	}
	return s
}

// since is how long ago a tone's phrase began, or its part of one.
func (t *Tone) since(kind starting) time.Duration {
	if kind == startsSub {
		return t.On - t.sub
	}
	return t.On - t.phrase
}

// spans are where all the tones of a whole line stand in their phrases, or in their parts of
// one, by number from 1. They are found from the last to the first, as each knows the next
// one's: a line without a boundary costs no more than another. look is the line's tone.
func spans(tones int, look func(number int64) *Tone, kind starting) []expr.Span {
	all := make([]expr.Span, tones)
	for i := tones - 1; i >= 0; i-- {
		t, s := look(int64(i)+1), &all[i]
		*s = expr.Span{Since: t.since(kind), Until: expr.Unknown}
		next := look(t.Next)
		switch {
		case next == nil:
			if t.Off != expr.Unknown { // the piece ends with it
				s.End, s.Final, s.Until = 1, true, t.Off-t.On
			}
		case next.Starts&kind != 0:
			s.End, s.Final, s.Until = float64(next.strength), true, endOf(t, next)-t.On
		default:
			if of := &all[t.Next-1]; of.Until != expr.Unknown {
				s.End, s.Until = of.End, of.Until+next.On-t.On
			}
		}
	}
	return all
}

// endOf is when a tone ends, at the latest where the next begins.
func endOf(t, next *Tone) time.Duration {
	if t.Off == expr.Unknown {
		return next.On
	}
	return min(t.Off, next.On)
}

// maxGroup is the most notes of an even group.
const maxGroup = 6

// evenness is by how much the intervals within an even group may differ, as a share. Ours.
const evenness = 0.05

// group is how many even notes, three or more, fill the beat that begins with a tone, and
// whether they rise; 0 where none do, or nobody knows.
func (l *Line) group(t *Tone) (notes int, rising bool) {
	if t.beatLevel < 1 {
		return 0, false
	}
	first := time.Duration(0)
	rising = true
	last := t
	for notes = 1; notes <= maxGroup; notes++ {
		next := l.Tone(last.Next)
		if next == nil {
			return 0, false
		}
		step := next.On - last.On
		if first == 0 {
			first = step
		}
		if math.Abs(float64(step-first)) > evenness*float64(first) {
			return 0, false
		}
		if next.beatLevel >= 1 {
			if notes < 3 {
				return 0, false
			}
			return notes, rising
		}
		rising = rising && next.Key > last.Key
		last = next
	}
	return 0, false
}
