package engine

import (
	"time"

	"swellbox/expr"
)

// ahead holds the input between its arrival and its time to sound, in the order
// in which it came in. Times never decrease, so a ring serves for both of its
// readers: the one that decides when a player plays a note, and the one that plays.
type ahead struct {
	ring    []waiting // length a power of two
	head, n int
	decided int // of the n, from the head
}

// waiting is one input event on its way.
type waiting struct {
	ev    expr.Event
	due   time.Duration
	tone  int64
	split bool  // the shaped side plays it at a time of its own
	seat  *seat // in place of an event: who plays from then on
}

// seat is who plays a part.
type seat struct {
	part    int32
	profile *expr.Profile
	players int
}

func (a *ahead) at(i int) *waiting { return &a.ring[(a.head+i)&(len(a.ring)-1)] }

func (a *ahead) put(w *waiting) {
	if a.n == len(a.ring) {
		ring := make([]waiting, max(64, 2*len(a.ring)))
		for i := range a.n {
			ring[i] = *a.at(i)
		}
		a.ring, a.head = ring, 0
	}
	a.n++
	*a.at(a.n - 1) = *w
}

// drop removes the first event, and its hold on borrowed memory.
func (a *ahead) drop() {
	a.at(0).ev.Data, a.at(0).seat = nil, nil
	a.head = (a.head + 1) & (len(a.ring) - 1)
	a.n--
	a.decided = max(a.decided-1, 0)
}

// remove takes out all events of one port but clocks.
func (a *ahead) remove(port uint16) (removed []waiting) {
	kept, decided := 0, 0
	for i := range a.n {
		w := a.at(i)
		if w.seat == nil && w.ev.Port == port && !(w.ev.Len == 1 && w.ev.Msg[0] == expr.TimingClock) {
			removed = append(removed, *w)
			continue
		}
		if i < a.decided {
			decided++
		}
		*a.at(kept) = *w
		kept++
	}
	for i := kept; i < a.n; i++ {
		a.at(i).ev.Data, a.at(i).seat = nil, nil
	}
	a.n, a.decided = kept, decided
	return removed
}

// delay is how long after its arrival an event sounds. It glides to where it is
// asked to be, so that no event overtakes another and a change is a slight change
// of tempo, not a gap.
type delay struct {
	at     time.Duration // when the glide began
	from   time.Duration
	target time.Duration
}

// delaySlope is how much of each second a gliding delay gains or loses. Ours.
const delaySlope = 0.25

// of is the delay of what comes in at a time.
func (d *delay) of(t time.Duration) time.Duration {
	way := time.Duration(float64(t-d.at) * delaySlope)
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
	*d = delay{at: now, from: from, target: target}
}
