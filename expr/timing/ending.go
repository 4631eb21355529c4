package timing

import (
	"math"
	"time"
)

// PhraseEnd is by how much the last note of a phrase is longer at quantity 1.
//
// Source: Friberg 1991, Friberg 1995 (from memory, not sure).
const PhraseEnd = 40 * time.Millisecond

// MaxEndings is the most that the shift of [Endings] can be: ours, a quarter of the time
// in which it is paid back, so that two moments come closer by less than half.
const MaxEndings = 250 * time.Millisecond

const (
	payback   = time.Second // in which a lengthening is paid back: ours
	steepest  = 1.0 / 3     // of the last note, by which it may be longer: ours
	liveLimit = 8           // lengthenings that are not yet paid back at one time
)

// Endings is a [Warp] for who learns of a boundary only shortly before it: the last note
// of a phrase is longer, and the time is made good within the second after. Nobody is ever
// early. It and a Warp that knows the phrases are two ways to play one thing: use one of
// them.
//
// Written time never runs backward under it. Its zero value shifts nothing and lets
// nothing be added; set Bound.
type Endings struct {
	Bound time.Duration // most of the shift, at most [MaxEndings]

	live [liveLimit]lengthening
}

// lengthening is a delay that grows from a moment to the boundary and is paid back.
type lengthening struct {
	from, boundary, end time.Duration
	delay               time.Duration // at the boundary
}

// Lengthen adds a lengthening of quantity k from 0 to 2 and returns by how much the
// boundary, the onset after the phrase's last note, is later by it: k·[PhraseEnd], but at
// most a third of the time between last and boundary, and no more than Bound leaves.
//
// last is the last note's onset, or a later moment up to which all shifts have been used
// already: they stay as they are. From call to call it must not go back.
func (e *Endings) Lengthen(last, boundary time.Duration, k float64) time.Duration {
	room, free := min(e.Bound, MaxEndings), -1
	for i := range e.live {
		if l := &e.live[i]; l.end > last {
			room -= l.delay
		} else {
			free = i
		}
	}
	delay := min(
		time.Duration(quantity(k)*float64(PhraseEnd)),
		time.Duration(steepest*float64(boundary-last)),
		room)
	if delay <= 0 || free < 0 {
		return 0
	}
	e.live[free] = lengthening{from: last, boundary: boundary, end: boundary + payback, delay: delay}
	return delay
}

// At is the shift of a written time, 0..Bound. Times before the latest last note of
// [Endings.Lengthen] are past: of them nothing is remembered.
func (e *Endings) At(t time.Duration) time.Duration {
	sum := 0.0
	for i := range e.live {
		sum += e.live[i].shift(t)
	}
	return time.Duration(math.Round(sum))
}

// Tempo is the tempo at a written time, re the written one.
func (e *Endings) Tempo(t time.Duration) float64 {
	slope := 0.0
	for i := range e.live {
		slope += e.live[i].slope(t)
	}
	return 1 / (1 + slope)
}

// Inverse is the written time that is played at a time: the first that is not earlier.
func (e *Endings) Inverse(played time.Duration) time.Duration {
	return inverse(e, played, played-MaxEndings, played)
}

// leg is the part of a lengthening that t is in: how long it lasts, how far t is in it
// (0..1), and whether the delay grows.
func (l *lengthening) leg(t time.Duration) (length time.Duration, x float64, grows bool) {
	if t < l.boundary {
		length = l.boundary - l.from
		return length, float64(t-l.from) / float64(length), true
	}
	length = l.end - l.boundary
	return length, float64(t-l.boundary) / float64(length), false
}

// shift is the delay in ns. It has no corner (3x²-2x³).
func (l *lengthening) shift(t time.Duration) float64 {
	if t <= l.from || t >= l.end {
		return 0
	}
	_, x, grows := l.leg(t)
	if !grows {
		x = 1 - x
	}
	return float64(l.delay) * x * x * (3 - 2*x)
}

// slope is how much later it gets at t, a unit of time.
func (l *lengthening) slope(t time.Duration) float64 {
	if t <= l.from || t >= l.end {
		return 0
	}
	length, x, grows := l.leg(t)
	slope := 6 * x * (1 - x) * float64(l.delay) / float64(length)
	if !grows {
		return -slope
	}
	return slope
}
