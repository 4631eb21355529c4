package pedalling

import "time"

// rests is what is known of how long nothing comes.
type rests struct {
	beat   time.Duration
	silent time.Duration // since when no finger is down
	nextOn time.Duration // the next onset as far as it is known, or 0
	until  time.Duration // the latest known end of a note
}

// expect notes how long a note lasts, and when the next onset comes, if that is known of all notes
// of the group, of which it may be the first.
func (r *rests) expect(at, length, toNext time.Duration, first bool) {
	r.until = max(r.until, at+length)
	switch {
	case toNext < 0:
		r.nextOn = 0
	case first || r.nextOn > at:
		if next := at + toNext; first || next < r.nextOn {
			r.nextOn = next
		}
	}
}

// tail is how long the foot stays when no finger is down.
func (r *rests) tail(s *style) time.Duration {
	if s.tail > 0 {
		return s.tail
	}
	return min(max(r.beat, minTail), maxTail)
}
