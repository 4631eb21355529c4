package engine

import (
	"time"

	"swellbox/expr"
)

// ahead holds the input between its arrival and its time to sound, in the order
// in which it came in. Times never decrease, so a ring serves for both of its
// readers: the one that decides when a player plays a note, and the one that plays.
type ahead struct {
	ring[waiting]
	decided int // of the n, from the head
}

// waiting is one input event on its way.
type waiting struct {
	ev      expr.Event
	due     time.Duration
	tone    int64
	split   bool     // the shaped side plays it at a time of its own
	seating *seating // in place of an event: who plays from then on
}

// seating is who is to play a part.
type seating struct {
	part    int32
	profile *expr.Profile
	players int
}

func (a *ahead) put(w *waiting) { *a.grow() = *w }

// undecided is the first event of which it is to be decided when it is played, or nil.
func (a *ahead) undecided() *waiting {
	if a.decided == a.n {
		return nil
	}
	return a.at(a.decided)
}

// drop removes the first event.
func (a *ahead) drop() {
	a.ring.drop()
	a.decided = max(a.decided-1, 0)
}

// remove takes out all events of one port but clocks.
func (a *ahead) remove(port uint16) (removed []waiting) {
	decided := a.decided
	a.keep(func(i int, w *waiting) bool {
		kept := w.seating != nil || w.ev.Port != port || w.ev.Len == 1 && w.ev.Msg[0] == expr.TimingClock
		if !kept && i < decided {
			a.decided--
		}
		return kept
	}, func(w *waiting) { removed = append(removed, *w) })
	return removed
}

// forget takes from all that waits which notes of a score they are: another is to be loaded.
func (a *ahead) forget() {
	for i := range a.n {
		a.at(i).ev.Note = 0
	}
}

// delay is how long after its arrival an event sounds. It glides to where it is
// asked to be, so that no event overtakes another and a change is a slight change
// of tempo, not a gap.
type delay struct {
	began  time.Duration // when the glide did
	from   time.Duration
	target time.Duration
}

// delaySlope is how much of each second a gliding delay gains or loses. Ours.
const delaySlope = 0.25

// of is the delay of what comes in at a time.
func (d *delay) of(t time.Duration) time.Duration {
	way := time.Duration(float64(t-d.began) * delaySlope)
	if d.from < d.target {
		return min(d.from+way, d.target)
	}
	return max(d.from-way, d.target)
}

// set has the delay glide to a target from now on, or be there at once.
func (d *delay) set(now, target time.Duration, atOnce bool) {
	from := d.of(now)
	if atOnce {
		from = target
	}
	*d = delay{began: now, from: from, target: target}
}

// meet has the delay go to a target, at once if that goes unnoticed, unless it is on its way there.
func (d *delay) meet(now, target time.Duration, unnoticed bool) {
	if d.of(now) != target && (unnoticed || d.target != target) {
		d.set(now, target, unnoticed)
	}
}
