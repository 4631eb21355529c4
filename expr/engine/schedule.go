package engine

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
)

// schedule is all that waits for its time: what came in to be played, what the shaped
// performance does at a time of its own, and the parts that move.
type schedule struct {
	now     time.Duration // of what is being done
	done    time.Duration // up to which all that was due is done; what overtakes is ahead of it
	noteAt  time.Duration // when the latest note came in; Unknown before the first
	ahead   ahead
	delay   delay
	later   heap[deferred] // in the order in which it was put in, at one time
	wakes   heap[int32]    // when each moving part is next looked at, by its number
	awake   []bool         // by part: it stands among the wakes, once
	order   uint64         // of the latest that was put off
	awaited int            // events that the shaped side has yet to play
}

// deferred is one thing that waits.
type deferred struct {
	tone int64
	part int32
	what what
	ev   expr.Event
}

// what a deferred thing is.
type what uint8

const (
	plays  what = iota // an input event, for the shaped side alone
	ends               // a note's end
	pedals             // the foot on the pedal
)

// put defers something to a time.
func (s *schedule) put(at time.Duration, d deferred) {
	s.order++
	s.later.add(entry[deferred]{at, s.order, d})
	if d.what == plays {
		s.awaited++
	}
}

// wake has a part looked at after a while, unless that is to be already.
func (s *schedule) wake(part int32, after time.Duration) {
	if !s.awake[part] {
		s.awake[part] = true
		s.wakes.add(entry[int32]{s.now + after, uint64(part), part})
	}
}

// rewake has the part at a place among the wakes looked at again after a while, or no more.
func (s *schedule) rewake(i int, again bool, after time.Duration) {
	if again {
		s.wakes.putOff(i, s.now+after)
		return
	}
	s.awake[s.wakes[i].it] = false
	s.wakes.dropAt(i)
}

// next is when something is to be done, and false if nothing is. What waits to sound is looked at
// earlier than it is due, by as much as a player may be early with it.
func (s *schedule) next(early time.Duration) (t time.Duration, found bool) {
	if len(s.wakes) > 0 {
		t, found = s.wakes[0].at, true
	}
	if len(s.later) > 0 && (!found || s.later[0].at < t) {
		t, found = s.later[0].at, true
	}
	if s.ahead.n == 0 {
		return t, found
	}
	due := s.ahead.at(0).due
	if w := s.ahead.undecided(); w != nil {
		due = min(due, w.due-early)
	}
	if due = max(due, 0); !found || due < t {
		t, found = due, true
	}
	return t, found
}

// restTime is how long no note has come when a rest may grow or shrink by the delay
// unnoticed. Ours.
const restTime = time.Second

// rests reports whether nothing waits to sound, and no note has come for a while.
func (s *schedule) rests() bool {
	return s.ahead.n == 0 && len(s.later) == 0 && (s.noteAt == expr.Unknown || s.now-s.noteAt >= restTime)
}

// playedOut is when all that waits will have sounded, if players are late by at most so much.
func (s *schedule) playedOut(late time.Duration) time.Duration {
	at := s.now
	for i := range s.later {
		if s.later[i].it.what != pedals {
			at = max(at, s.later[i].at)
		}
	}
	if s.ahead.n > 0 {
		at = max(at, s.ahead.at(s.ahead.n-1).due+late)
	}
	return at
}

// unplayed takes out what waits to be played on one port, in the order of time.
func (s *schedule) unplayed(port uint16) []entry[deferred] {
	taken := s.later.take(func(d *deferred) bool { return d.what == plays && d.ev.Port == port })
	slices.SortFunc(taken, func(a, b entry[deferred]) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.order, b.order)) })
	return taken
}
