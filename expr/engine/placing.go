package engine

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/timing"
)

// MaxDeviation is how far before or after its due time a player may play, at most. Ours; it
// leaves room for all that is published of ensembles, and for rubato.
const MaxDeviation = 250 * time.Millisecond

// MaxOwnShift is how far from the ensemble's beat one player may play a note, at most: the
// asynchrony from which the order of two onsets is sure to be heard.
//
// Sources: 60 ms, Hirsh 1959 as told by Watson 2004. What players have is less: 27 to 49 ms
// between those of an ensemble (Rasch 1979), a melody that leads its chord by about 30 ms
// (Goebl 2001).
const MaxOwnShift = timing.MaxShift

// shortestNote is the least that a note sounds whose ends were moved. Ours.
const shortestNote = 10 * time.Millisecond

// partTiming is when a part's player plays.
type partTiming struct {
	sd      time.Duration // of its onsets
	note    time.Duration // when the latest start or end of its notes is played
	other   time.Duration // and of its other messages
	by      *expr.Profile // that strokes are of
	strokes expr.Touch    // how much of each habit of the touch its player has
	struck  [128]int64    // by key: number of the latest note whose time is decided
	fault   error         // why it is in time
}

// soonest is when a note may be struck at the soonest, for the note before it on its key.
func (t *partTiming) soonest(line *hearing.Line, tone *hearing.Tone) time.Duration {
	before := line.Tone(t.struck[tone.Key])
	if before == nil {
		return 0
	}
	return before.Played + min(tone.On-before.On, shortestNote)
}

// undecide is deferred where it is decided when a player plays an event: one that fails to
// is in time.
func (t *partTiming) undecide(w *waiting) {
	if r := recover(); r != nil {
		w.split, t.fault = false, expr.OfTiming.Loss(r)
	}
}
