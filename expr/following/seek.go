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
)

// place is where the last event may be.
type place struct {
	gain  float64
	on    float64 // of the last event
	ratio float64
	known bool  // the ratio is that of before
	found uint8 // bit i: event i, 0 the last, is at its distance
	start int   // the event from which on it explains them best
}

// seeker looks for places, and holds what a search works in.
type seeker struct {
	*ground
	*stream
	*beam
	*expected

	credit int
	tempo  int // credit of searches at any tempo
	lanes  [window]lane
	tracks []track // of window*maxSeats at most
	places [places]place
	n      int
}

func newSeeker(g *ground, st *stream, b *beam, x *expected) seeker {
	return seeker{ground: g, stream: st, beam: b, expected: x, tracks: make([]track, 0, window*maxSeats)}
}

func (s *seeker) reset() { s.credit, s.tempo = mostCredit, tempoMost }

// seek adds the likeliest new hypotheses.
func (s *seeker) seek(lost int) {
	s.n = 0
	if s.heard == 1 && s.hintLeft == 0 {
		return // one note is anywhere
	}
	learnt := lost < staleLost
	for i := range s.heard {
		learnt = learnt && s.channels[s.recent[i].channel].learnt >= learntNotes
	}
	if s.setLanes(true) {
		s.seekKnown()
		if !s.explains(3) {
			s.seekTempo()
		}
	}
	if !learnt && !s.explains(3) && s.credit > 0 {
		s.setLanes(false)
		s.seekKnown()
		if !s.explains(3) {
			s.seekTempo()
		}
	}
	for i := range s.n {
		s.try(&s.places[i])
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

// seekKnown finds places at the tempo known.
func (s *seeker) seekKnown() {
	for p := range s.lanes[0].n {
		s.setTracks()
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
				far := t.lag * s.ratio
				off := s.hand.seekJitter + s.hand.seekDrift*far
				if t.between(on-far-off, on-far+off, &s.credit) {
					found |= 1 << t.event
				}
			}
			s.credit--
			if found != 1 || s.hintLeft > 0 {
				s.propose(&place{on: on, ratio: s.ratio, known: true, found: found})
			}
		}
	}
}

// seekTempo finds places at any tempo: that at which one of the three events before
// the last fits.
func (s *seeker) seekTempo() {
	if s.lanes[min(s.heard, tempoEvents)-1].lag < apart {
		return
	}
	for p := range s.lanes[0].n {
		s.setTracks()
		for _, on := range s.lanes[0].lists[p].on {
			if s.tempo <= 0 {
				return
			}
			for j := range s.tracks {
				t := &s.tracks[j]
				t.between(on-t.lag*fastest-s.hand.seekJitter, on, &s.tempo)
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
					s.fit(on, (on-t.on[q])/t.lag, t.event)
				}
			}
		}
	}
}

// fit proposes a place at a tempo that an event has told.
func (s *seeker) fit(on, ratio float64, event int) {
	found := uint8(1 | 1<<event)
	for j := range s.tracks {
		t := s.tracks[j] // it is not to move on
		if found>>t.event&1 != 0 {
			continue
		}
		far := t.lag * ratio
		off := s.hand.seekJitter + s.hand.seekDrift*far
		if t.between(on-far-off, on-far+off, &s.tempo) {
			found |= 1 << t.event
		}
	}
	s.propose(&place{on: on, ratio: ratio, found: found})
}

// weigh finds the event from which on a place explains the events best, and how well.
func (s *seeker) weigh(p *place) {
	p.gain = math.Inf(-1)
	sum := 0.0
	if !p.known {
		sum = -newTempoCost
	}
	for i := range s.heard {
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
func (s *seeker) propose(p *place) {
	s.weigh(p)
	if s.n == places && p.gain+nearGain+barStartGain+hintGain < s.places[places-1].gain {
		return
	}
	p.gain += s.expect(p.on)
	for i := range s.n {
		q := &s.places[i]
		if math.Abs(q.on-p.on) < s.hand.twinScore && math.Abs(q.ratio-p.ratio) < twinRatio*p.ratio {
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

// try makes a place a hypothesis.
func (s *seeker) try(p *place) {
	for i := range s.hypotheses {
		if s.hypotheses[i].isTwin(s.hand.twinScore, p.on, p.ratio) {
			return
		}
	}
	if h, alive := s.begin(p, p.start); alive {
		s.add(&h)
	}
}

// begin is the hypothesis that a place is right from event i on.
func (s *seeker) begin(p *place, i int) (h hypothesis, alive bool) {
	first := &s.recent[i]
	on := p.on - p.ratio*s.lanes[i].lag
	vr := jumpVr
	if !p.known {
		vr = newTempoVr
	}
	h = hypothesis{
		at: first.at, score: on, ratio: p.ratio, corrected: first.at, born: first.at,
		vs: s.hand.seekJitter * s.hand.seekJitter / 4, vr: vr * p.ratio * p.ratio,
		last:   -1,
		weight: first.base - math.Log(float64(len(s.notes))) + s.expect(p.on),
	}
	if !p.known {
		h.weight -= newTempoCost
	}
	h.next = int32(s.from(on - s.hand.seekJitter))
	if s.startsBar(on, s.hand.seekJitter) {
		h.weight += barStartGain
	}
	if !h.hear(s.ground, first, s.least, true) || !h.matched {
		return h, false
	}
	for i--; i >= 0; i-- {
		if !h.hear(s.ground, &s.recent[i], s.least, false) {
			return h, false
		}
	}
	return h, true
}
