package listening

import (
	"math"
	"time"
)

// DefaultRest is the shortest silence that a [Line] takes for a boundary on its own: a beat
// at 120 a minute. Ours, not published.
const DefaultRest = 500 * time.Millisecond

// memory is over how many notes the running maxima and means of a [Line] fade to 1/e, and
// keepMaximum what is left of a maximum after one. Ours, not published.
const memory = 64

var keepMaximum = math.Exp(-1.0 / memory)

// leastMaximum is what the running maximum of a profile never falls under, in semitones and
// seconds, so that the unevenness of an even line is no boundary. Ours, not published.
var leastMaximum = [numProfiles]float64{pitchProfile: 2, ioiProfile: 0.02, restProfile: 0.1}

// Line finds the boundaries of one line of notes as it goes. Its zero value is a line
// before its first note.
//
// It is [Boundaries] with what came before in place of all that comes: each profile is
// normalised by its running maximum, which fades over some 64 notes and is never less than
// the profile's running mean, as long as nothing much has happened yet. Silence beyond Rest does
// not count, so that one long rest does not make all later boundaries small. All this is ours, as
// is that a rest is a boundary on its own.
type Line struct {
	Rest time.Duration // the shortest silence that is a boundary on its own; 0: DefaultRest, negative: none is

	started bool
	rested  bool // the latest note came after a rest
	on, end time.Duration
	key     int
	changes changes

	intervals  float64 // so many, up to memory
	mean, most [numProfiles]float64
}

// Next takes the line's next note: its onset, its end, or [Unknown] if it still sounds, and its
// MIDI note. It gives the strength, 0..1, of the boundary just before the note that came before
// this one: an interval is judged by the one that follows it, so the model is always one
// note late. known is false for a line's first two notes.
//
// A boundary at a rest has strength 1; [Line.Rested] knows it a note earlier. Where the end of
// the last note is unknown or after the onset of this one there is no rest. A note that does
// not begin after the last one is no next note, and is left out: known is false.
func (l *Line) Next(on, end time.Duration, key int) (strength float64, known bool) {
	if l.started && on <= l.on {
		return 0, false
	}
	last := *l
	l.started, l.on, l.end, l.key = true, on, end, key
	if !last.started {
		return 0, false
	}

	ioi, rest := on-last.on, time.Duration(0)
	if last.end >= 0 {
		rest = min(max(on-last.end, 0), ioi)
	}
	longest := l.shortestRest()
	l.rested = longest > 0 && rest >= longest
	if l.rested {
		ioi -= rest - longest
		rest = longest
	}

	interval := [numProfiles]float64{
		pitchProfile: math.Abs(float64(key - last.key)),
		ioiProfile:   ioi.Seconds(),
		restProfile:  rest.Seconds(),
	}
	l.intervals = min(l.intervals+1, memory)
	for p, x := range interval {
		l.mean[p] += (x - l.mean[p]) / l.intervals
	}
	changes, known := l.changes.next(interval)
	if !known {
		return 0, false
	}
	for p, c := range changes {
		l.most[p] = max(l.most[p]*keepMaximum, l.mean[p], leastMaximum[p], c)
		strength += profileWeight[p] * (c / l.most[p])
	}
	if last.rested {
		strength = 1
	}
	return strength, true
}

// End tells when the latest note ended, if Next could not be told.
func (l *Line) End(at time.Duration) { l.end = at }

// Rested reports whether the latest note came after a silence of at least Rest, and so
// begins something new.
func (l *Line) Rested() bool { return l.rested }

func (l *Line) shortestRest() time.Duration {
	if l.Rest == 0 {
		return DefaultRest
	}
	return l.Rest
}

// changes are the changes of all profiles, interval by interval and one interval late.
type changes struct {
	started      bool
	before, last [numProfiles]float64
}

// next takes an interval and gives the changes at the one before, if there was one.
func (c *changes) next(x [numProfiles]float64) (at [numProfiles]float64, known bool) {
	if !c.started {
		*c = changes{true, x, x} // as changeAt has it: no change before the first
		return at, false
	}
	for p := range x {
		at[p] = change(c.before[p], c.last[p], x[p])
	}
	c.before, c.last = c.last, x
	return at, true
}
