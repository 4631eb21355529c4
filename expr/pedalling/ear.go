package pedalling

import "time"

// Ear hears one part, and says what pianists would do with the foot by what has sounded. It
// allocates nothing.
type Ear struct {
	trace  trace
	past   around
	often  running
	m      Moment
	open   bool
	down   keys // that are written to sound on
	silent float64
	shares struct{ at, after float64 }
	known  [facts]float64
	row    [soundedTerms]float64
}

// Reset forgets everything.
func (e *Ear) Reset() {
	*e = Ear{}
	e.trace.reset()
}

// End hears a note end as it is written. It may come after notes that begin then, as players stray.
func (e *Ear) End(at time.Duration, key int) {
	if key &= 127; e.open && e.down.has(key) && !e.m.keys.has(key) && at.Seconds() <= e.m.At {
		e.m.Sounds = max(e.m.Sounds-1, 0)
	}
	e.down.remove(key)
	if e.down.empty() {
		e.silent = at.Seconds()
	}
}

// Note hears a note start.
func (e *Ear) Note(at time.Duration, key int) Advice {
	if !e.open {
		e.Reset()
	}
	if now := at.Seconds(); !e.open || now-e.m.At > chordTime.Seconds() {
		if e.open {
			e.trace.pass(&e.m, &e.known)
			e.past.add(e.m.At, &e.known)
			e.often.least(e.shares.at, e.shares.after, now-e.m.At)
		}
		e.m, e.open = Moment{At: now, Sounds: e.down.count()}, true
		if e.m.Sounds == 0 && e.past.weight[0] > 0 {
			e.m.Rest = max(now-e.silent, 0)
		}
	}
	e.m.Add(key)
	e.down.add(key & 127)
	e.trace.facts(&e.m, &e.known)
	past := e.past
	past.add(e.m.At, &e.known)
	row := past.terms(e.m.At, append(e.row[:0], e.known[:]...))
	e.shares.at, e.shares.after = share(row, Sounded, 0), share(row, Sounded, 1)
	often := e.often
	least := often.least(e.shares.at, e.shares.after, leastLasted)
	a := Advised
	if e.shares.at > least {
		a |= DownAt
	}
	if e.shares.after > least {
		a |= DownAfter
	}
	return a
}

// leastLasted is how long a moment is taken to last while it is not known, s. Ours.
const leastLasted = 0.3
