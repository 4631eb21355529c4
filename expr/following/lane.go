package following

import "math"

// lane is where an event may be in the score.
type lane struct {
	lists [maxSeats]*list
	n     int
	lag   float64 // from it to the last event
	gain  float64 // nats if it is found
	base  float64 // nats of what was before it
}

// setLanes lists where the recent events may be: in the parts of their channels, or
// anywhere. It reports whether the last may be somewhere.
func (s *seeker) setLanes(byPart bool) bool {
	for i := range s.heard {
		e, l := &s.recent[i], &s.lanes[i]
		*l = lane{lag: s.recent[0].at - e.at, base: e.base - s.recent[0].base}
		c := &s.channels[e.channel]
		if byPart {
			for k := range c.seats {
				if !c.sits(k) {
					continue
				}
				if at := &s.byPart[int(c.seats[k].part)*keys+int(e.key)]; len(at.on) > 0 {
					l.lists[l.n] = at
					l.n++
				}
			}
		} else if len(s.byKey[e.key].on) > 0 {
			l.lists[0], l.n = &s.byKey[e.key], 1
		}
		total := 1
		for k := range l.n {
			total += len(l.lists[k].on)
		}
		l.gain = math.Log(float64(len(s.notes)+1) / float64(total))
	}
	return s.lanes[0].n > 0
}

// track is a list of an event as a search runs along it.
type track struct {
	on    []float64
	event int
	lag   float64
	next  int
}

// setTracks lists the tracks of the events before the last, and the gains that are
// left from an event on.
func (s *seeker) setTracks() {
	s.tracks = s.tracks[:0]
	for i := 1; i < s.heard; i++ {
		l := &s.lanes[i]
		for k := range l.n {
			s.tracks = append(s.tracks, track{on: l.lists[k].on, event: i, lag: l.lag})
		}
	}
}

// between moves a track to the first note not before a time, and reports whether that
// is not after another time.
func (t *track) between(from, to float64, credit *int) bool {
	q := t.next
	for q < len(t.on) && t.on[q] < from {
		q++
	}
	*credit -= q - t.next + 1
	t.next = q
	return q < len(t.on) && t.on[q] <= to
}
