package following

import (
	"math"
	"sort"
)

// Where the hypotheses explain nothing, others are sought: places in which the last
// event and some of those before it are at their distances in the score. The cost is
// bounded by credit: a note earns so much, and a search spends a unit for each entry of
// a list that it looks at, some 2 ns; without credit it is left out. The figures are
// ours, not published, and tried with the scores of the tests.
const (
	noteCredit  = 4000
	mostCredit  = 48_000
	tempoCredit = 2000 // the same for searches at any tempo
	tempoMost   = 40_000
	longLost    = 48 // notes
	staleLost   = 24 // notes after which the channels may be others than was learnt

	places = 8 // that a search tries at most

	slowest     = 0.45 // least ratio of tempi that is sought if it is not
	fastest     = 2.2
	apart       = 0.060 // seconds between two notes that tell a tempo
	tempoEvents = 4     // the last one and those that may tell a tempo with it

	jumpVr       = 0.008 * 0.008 // relative variance of the ratio where it stays over a jump
	newTempoVr   = 0.04 * 0.04   // and where it is sought
	newTempoCost = 3.5           // nats: the tempo is another than before, and is any
	barStartGain = 1.0           // nats: playing begins at bar lines
	nearGain     = 0.8           // nats, at the place last known; half of it nearDistance away
	nearDistance = 20.0          // seconds of the score
	hintGain     = 8.0           // nats, where it is told to go on
	hintBefore   = 0.3           // seconds of the score that the place may be before the hint
	hintAfter    = 4.0           // and after it: music may begin with a rest
)

// lane is where an event may be in the score.
type lane struct {
	lists [maxSeats]*list
	n     int
	lag   float64 // from it to the last event
	gain  float64 // nats if it is found
	base  float64 // nats of what was before it
}

// place is where the last event may be.
type place struct {
	gain  float64
	on    float64 // of the last event
	ratio float64
	known bool  // the ratio is that of before
	found uint8 // bit i: event i, 0 the last, is at its distance
	start int   // the event from which on it explains them best
}

// seeker is what a search works in.
type seeker struct {
	credit int
	tempo  int // credit of searches at any tempo
	lanes  [window]lane
	tracks []track // of window*maxSeats at most
	places [places]place
	n      int
}

// seek adds the likeliest new hypotheses.
func (f *Follower) seek() {
	s := &f.seeker
	s.n = 0
	if f.heard == 1 && f.hintLeft == 0 {
		return // one note is anywhere
	}
	learnt := f.lostFor < staleLost
	for i := range f.heard {
		learnt = learnt && f.channels[f.recent[i].channel].learnt >= learntNotes
	}
	if f.setLanes(true) {
		f.seekKnown()
		if !s.explains(3) {
			f.seekTempo()
		}
	}
	if !learnt && !s.explains(3) && s.credit > 0 {
		f.setLanes(false)
		f.seekKnown()
		if !s.explains(3) {
			f.seekTempo()
		}
	}
	for i := range s.n {
		f.try(&s.places[i])
	}
}

// earn gives the credit of a note. Who has been lost for long is in another piece, and
// earns less.
func (s *seeker) earn(lost int) {
	per := 1
	if lost > longLost {
		per = 4
	}
	s.credit = min(s.credit+noteCredit/per, mostCredit)
	s.tempo = min(s.tempo+tempoCredit/per, tempoMost)
}

// explains reports whether a place was found that explains so many of the events.
func (s *seeker) explains(most int) bool {
	for i := range s.n {
		n := 0
		for found := s.places[i].found; found != 0; found &= found - 1 {
			n++
		}
		if n >= most {
			return true
		}
	}
	return false
}

// setLanes lists where the recent events may be: in the parts of their channels, or
// anywhere. It reports whether the last may be somewhere.
func (f *Follower) setLanes(byPart bool) bool {
	x := f.index
	for i := range f.heard {
		e, l := &f.recent[i], &f.seeker.lanes[i]
		*l = lane{lag: f.recent[0].at - e.at, base: e.base - f.recent[0].base}
		c := &f.channels[e.channel]
		if byPart {
			for k := range c.seats {
				if !c.sits(k) {
					continue
				}
				if at := &x.byPart[int(c.seats[k].part)*keys+int(e.key)]; len(at.on) > 0 {
					l.lists[l.n] = at
					l.n++
				}
			}
		} else if len(x.byKey[e.key].on) > 0 {
			l.lists[0], l.n = &x.byKey[e.key], 1
		}
		total := 1
		for k := range l.n {
			total += len(l.lists[k].on)
		}
		l.gain = math.Log(float64(len(x.notes)+1) / float64(total))
	}
	return f.seeker.lanes[0].n > 0
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
func (f *Follower) setTracks() {
	s := &f.seeker
	s.tracks = s.tracks[:0]
	for i := 1; i < f.heard; i++ {
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

// seekKnown finds places at the tempo known.
func (f *Follower) seekKnown() {
	s := &f.seeker
	for p := range s.lanes[0].n {
		f.setTracks()
		for _, on := range s.lanes[0].lists[p].on {
			if s.credit <= 0 {
				return
			}
			found := uint8(1)
			for j := range s.tracks {
				t := &s.tracks[j]
				if t.event > 2 && found == 1 {
					break // neither of the two before it is there: it would be two of four at best
				}
				if found>>t.event&1 != 0 {
					continue
				}
				far := t.lag * f.ratio
				off := f.hand.seekJitter + f.hand.seekDrift*far
				if t.between(on-far-off, on-far+off, &s.credit) {
					found |= 1 << t.event
				}
			}
			s.credit--
			if found != 1 || f.hintLeft > 0 {
				f.propose(&place{on: on, ratio: f.ratio, known: true, found: found})
			}
		}
	}
}

// seekTempo finds places at any tempo: that at which one of the three events before
// the last fits.
func (f *Follower) seekTempo() {
	s := &f.seeker
	if s.lanes[min(f.heard, tempoEvents)-1].lag < apart {
		return
	}
	for p := range s.lanes[0].n {
		f.setTracks()
		for _, on := range s.lanes[0].lists[p].on {
			if s.tempo <= 0 {
				return
			}
			for j := range s.tracks {
				t := &s.tracks[j]
				t.between(on-t.lag*fastest-f.hand.seekJitter, on, &s.tempo)
			}
			for j := range s.tracks {
				t := &s.tracks[j]
				if t.event >= tempoEvents {
					break
				}
				if t.lag < apart {
					continue
				}
				for q := t.next; q < len(t.on) && t.on[q] <= on-t.lag*slowest; q++ {
					f.fit(on, (on-t.on[q])/t.lag, t.event)
				}
			}
		}
	}
}

// fit proposes a place at a tempo that an event has told.
func (f *Follower) fit(on, ratio float64, event int) {
	s := &f.seeker
	found := uint8(1 | 1<<event)
	for j := range s.tracks {
		t := s.tracks[j] // it is not to move on
		if found>>t.event&1 != 0 {
			continue
		}
		far := t.lag * ratio
		off := f.hand.seekJitter + f.hand.seekDrift*far
		if t.between(on-far-off, on-far+off, &s.tempo) {
			found |= 1 << t.event
		}
	}
	f.propose(&place{on: on, ratio: ratio, found: found})
}

// weigh finds the event from which on a place explains the events best, and how well.
func (s *seeker) weigh(p *place, heard int) {
	p.gain = math.Inf(-1)
	sum := 0.0
	if !p.known {
		sum = -newTempoCost
	}
	for i := range heard {
		if p.found>>i&1 == 0 {
			sum -= extraCost
			continue
		}
		sum += s.lanes[i].gain
		if g := sum + s.lanes[i].base; g > p.gain {
			p.gain, p.start = g, i
		}
	}
}

// propose keeps a place if it is among the likeliest.
func (f *Follower) propose(p *place) {
	s := &f.seeker
	s.weigh(p, f.heard)
	if s.n == places && p.gain+nearGain+barStartGain+hintGain < s.places[places-1].gain {
		return
	}
	p.gain += f.expect(p.on)
	for i := range s.n {
		q := &s.places[i]
		if math.Abs(q.on-p.on) < f.hand.twinScore && math.Abs(q.ratio-p.ratio) < twinRatio*p.ratio {
			if p.gain <= q.gain {
				return
			}
			copy(s.places[i:], s.places[i+1:s.n])
			s.n--
			break
		}
	}
	i := sort.Search(s.n, func(i int) bool { return s.places[i].gain < p.gain })
	if i == places {
		return
	}
	s.n = min(s.n+1, places)
	copy(s.places[i+1:s.n], s.places[i:])
	s.places[i] = *p
}

// expect is how much likelier than elsewhere it is that playing begins or goes on at
// a time of the score, in nats.
func (f *Follower) expect(on float64) float64 {
	gain := nearGain / (1 + math.Abs(on-f.here)/nearDistance)
	if f.hintLeft > 0 && on > f.hint-hintBefore && on < f.hint+hintAfter {
		gain += hintGain
	}
	return gain
}

// try makes a place a hypothesis.
func (f *Follower) try(p *place) {
	for i := range f.hypotheses {
		if f.hypotheses[i].isTwin(f, p.on, p.ratio) {
			return
		}
	}
	if h, alive := f.begin(p, p.start); alive {
		f.add(&h)
	}
}

// begin is the hypothesis that a place is right from event i on.
func (f *Follower) begin(p *place, i int) (h hypothesis, alive bool) {
	first := &f.recent[i]
	on := p.on - p.ratio*f.seeker.lanes[i].lag
	vr := jumpVr
	if !p.known {
		vr = newTempoVr
	}
	h = hypothesis{
		at: first.at, score: on, ratio: p.ratio, corrected: first.at, born: first.at,
		vs: f.hand.seekJitter * f.hand.seekJitter / 4, vr: vr * p.ratio * p.ratio,
		last:   -1,
		weight: first.base - math.Log(float64(len(f.index.notes))) + f.expect(p.on),
	}
	if !p.known {
		h.weight -= newTempoCost
	}
	h.next = int32(f.index.from(on - f.hand.seekJitter))
	if f.startsBar(on) {
		h.weight += barStartGain
	}
	if !h.hear(f, first, true) || !h.matched {
		return h, false
	}
	for i--; i >= 0; i-- {
		if !h.hear(f, &f.recent[i], false) {
			return h, false
		}
	}
	return h, true
}

// startsBar reports whether a bar begins at a time of the score.
func (f *Follower) startsBar(on float64) bool {
	i := f.barAt(on + f.hand.seekJitter)
	return i >= 0 && on-seconds(f.score.Bars[i].At) < f.hand.seekJitter
}
