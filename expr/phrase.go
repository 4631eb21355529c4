package expr

import (
	"math"
	"time"

	"swellbox/expr/listening"
)

// starting says what starts with a tone.
type starting uint8

const (
	startsSub starting = 1 << iota
	startsPhrase
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
func (l *line) lead(v *stream, number int64) {
	v.last = number
	t := l.tone(number)
	before := l.tone(t.prev)
	t.phrase, t.sub, t.breath = t.on, t.on, t.on
	t.starts, t.strength = startsPhrase|startsSub, 1
	if before == nil {
		v.mean = float64(t.key)
		v.accent = usualAccent
	} else {
		t.phrase, t.sub, t.starts, t.strength = before.phrase, before.sub, 0, 0
		v.shape.End(before.off)
		l.rest(v, before, t)
	}
	strength, known := v.shape.Next(t.on, Unknown, int(t.key))
	if known && before != nil {
		if before.even {
			strength = min(strength, evenStrength)
		}
		l.bound(before, float32(strength))
		t.phrase, t.sub = before.phrase, before.sub
		if a := l.accentOf(before); a != Unknown {
			v.accent += (a - v.accent) / meanNotes
		}
	}
	if v.shape.Rested() && !t.even {
		l.bound(t, 1)
	}
	if t.starts&startsPhrase != 0 {
		v.mean = float64(t.key) // what was before is not what this one is high or low beside
	}
	v.mean += (float64(t.key) - v.mean) / meanNotes
	t.mean, t.accent = float32(v.mean), float32(v.accent)
}

// What a rest is. Ours, not published.
const (
	breathRest   = 200 * time.Millisecond // the shortest in which a player can breathe
	evenRest     = 1.5                    // times the mean of the rests before, under which one is of their kind
	evenStrength = 0.4                    // the most that a boundary at such a rest can have: less than makes one
)

// rest keeps the rest between two tones. In an ostinato with rests no phrase ends with each.
func (l *line) rest(v *stream, before, t *tone) {
	rest := time.Duration(0)
	if before.off != Unknown {
		rest = max(t.on-before.off, 0)
	}
	t.even = v.rest > 0 && rest.Seconds() < evenRest*v.rest
	v.rest += (rest.Seconds() - v.rest) / 2
	if rest < breathRest {
		t.breath = before.breath
	}
}

// beat keeps where in the metre a tone stands.
func (l *line) beat(number int64, beat float64, level int, sure float64) {
	t := l.tone(number)
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
func (l *line) bound(t *tone, strength float32) {
	if t.prev == 0 || strength <= t.strength {
		return
	}
	t.strength = strength
	if strength < listening.BoundaryThreshold {
		return
	}
	if before := l.tone(t.prev); before != nil && before.strength > strength && before.starts != 0 {
		return // the stronger of two neighbours is the boundary
	}
	if t.on-t.sub >= subTime || strength >= 1 {
		t.sub = t.on
		t.starts |= startsSub
	}
	if strength >= phraseStrength && t.on-t.phrase >= phraseTime {
		t.phrase = t.on
		t.starts |= startsPhrase | startsSub
		t.sub = t.on
	}
}

// accentOf is a leading tone's melodic accent; Unknown for the first of a line, and while
// nobody knows what follows.
func (l *line) accentOf(t *tone) float64 {
	next, last := l.tone(t.next), l.tone(t.prev)
	if next == nil || last == nil { // the model gives a first note all there is, by convention
		return Unknown
	}
	beforeLast := l.tone(last.prev)
	return listening.MelodicAccent(keyOf(beforeLast), keyOf(last), int(t.key), int(next.key))
}

func keyOf(t *tone) int {
	if t == nil {
		return Unknown
	}
	return int(t.key)
}

// maxScan is how many notes are looked ahead for the end of a phrase.
const maxScan = 64

// span is where a tone stands in its phrase, or in its part of one, as far as the line has come.
func (l *line) span(t *tone, kind starting) Span {
	s := Span{Since: t.since(kind), Until: Unknown}
	last := t
	for range maxScan {
		next := l.tone(last.next)
		if next == nil {
			break
		}
		if next.starts&kind != 0 {
			s.End, s.Final = float64(next.strength), last == t
			s.Until = endOf(last, next) - t.on
			break
		}
		last = next
	}
	return s
}

// since is how long ago a tone's phrase began, or its part of one.
func (t *tone) since(kind starting) time.Duration {
	if kind == startsSub {
		return t.on - t.sub
	}
	return t.on - t.phrase
}

// spans are where all the tones of a whole line stand in their phrases, or in their parts of
// one, by number from 1. They are found from the last to the first, as each knows the next
// one's: a line without a boundary costs no more than another. look is the line's tone.
func spans(tones int, look func(number int64) *tone, kind starting) []Span {
	all := make([]Span, tones)
	for i := tones - 1; i >= 0; i-- {
		t, s := look(int64(i)+1), &all[i]
		*s = Span{Since: t.since(kind), Until: Unknown}
		next := look(t.next)
		switch {
		case next == nil:
			if t.off != Unknown { // the piece ends with it
				s.End, s.Final, s.Until = 1, true, t.off-t.on
			}
		case next.starts&kind != 0:
			s.End, s.Final, s.Until = float64(next.strength), true, endOf(t, next)-t.on
		default:
			if of := &all[t.next-1]; of.Until != Unknown {
				s.End, s.Until = of.End, of.Until+next.on-t.on
			}
		}
	}
	return all
}

// endOf is when a tone ends, at the latest where the next begins.
func endOf(t, next *tone) time.Duration {
	if t.off == Unknown {
		return next.on
	}
	return min(t.off, next.on)
}

// maxGroup is the most notes of an even group.
const maxGroup = 6

// evenness is by how much the intervals within an even group may differ, as a share. Ours.
const evenness = 0.05

// group is how many even notes, three or more, fill the beat that begins with a tone, and
// whether they rise; 0 where none do, or nobody knows.
func (l *line) group(t *tone) (notes int, rising bool) {
	if t.beatLevel < 1 {
		return 0, false
	}
	first := time.Duration(0)
	rising = true
	last := t
	for notes = 1; notes <= maxGroup; notes++ {
		next := l.tone(last.next)
		if next == nil {
			return 0, false
		}
		step := next.on - last.on
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
		rising = rising && next.key > last.key
		last = next
	}
	return 0, false
}
