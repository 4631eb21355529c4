package aligning

import (
	"cmp"
	"math"
	"slices"
)

// together is how near in time two notes of a score are one moment, in quarter notes.
const together = 1e-4

// moment is all that begins at one time of the score.
type moment struct {
	at          float64
	first, last int  // of the score's notes
	keys        keys // that begin here
	near        keys // that a slip of the hand takes for one of them
}

// keys is a set of MIDI notes.
type keys [2]uint64

func (s *keys) has(key uint8) bool { return s[key>>6]&(1<<(key&63)) != 0 }
func (s *keys) add(key int) {
	if key >= 0 && key < 128 {
		s[key>>6] |= 1 << (key & 63)
	}
}

func momentsOf(score []Note) []moment {
	var ms []moment
	for i, n := range score {
		if len(ms) == 0 || n.At-ms[len(ms)-1].at > together {
			ms = append(ms, moment{at: n.At, first: i})
		}
		m := &ms[len(ms)-1]
		m.last = i
		m.keys.add(int(n.Key))
		for _, d := range [...]int{-12, -2, -1, 1, 2, 12} {
			m.near.add(int(n.Key) + d)
		}
	}
	return ms
}

// The costs of a path, in nats.
const (
	costStay     = 0.3 // one more note of a chord
	costLate     = 1.2 // a note that comes after its chord has been left, or before it is reached
	costNear     = 3.5 // a neighbouring key or an octave: a slip
	costTrill    = 2.5 // any note while a moment still sounds: a trill, a turn, a roll
	costHeld     = 1.5 // the most that a note long after its chord's first costs
	costForeign  = 4.5 // a note that the score does not have here
	costSkip     = 1.6 // each moment left out
	costJump     = 14  // to go on anywhere else in the score
	costTime     = 3.5 // the most that an odd time costs
	spread       = 0.4 // standard deviation of the logarithm of a duration
	chordSeconds = 0.06
	farthest     = 5   // moments that a player may leave out at once
	beamCost     = 20  // what lies so far behind is given up
	beamWidth    = 96  // hypotheses
	paceMemory   = 0.5 // how much of a second's pace is learnt
	mostRatio    = 3   // what differs more is a stop, and teaches no more than this
)

// hypothesis is that the latest note belongs to a moment.
type hypothesis struct {
	cost   float64
	pace   float64 // seconds a unit of the score
	at     float64 // when the moment began to sound
	moment int32
	from   int32 // number of the hypothesis of the note before
	jumped bool  // its moment was reached by a jump
}

// step is what is kept of a hypothesis.
type step struct {
	moment, from int32
	jumped       bool
}

// path finds for each note of the performance its moment, and the pass: how often there
// was a jump before it.
type path struct {
	ms     []moment
	pace   float64      // seconds a unit of the score, before anything is known
	byKey  [128][]int32 // moments that have a key
	beam   []hypothesis
	next   []hypothesis
	slot   []int32 // by moment: 1 + its place in next
	steps  []step
	starts []int // of each note's steps
}

func newPath(score, take []Note) *path {
	p := &path{ms: momentsOf(score), pace: 0.5}
	if units, took := score[len(score)-1].At-score[0].At, take[len(take)-1].At-take[0].At; units > 0 && took > 0 {
		p.pace = took / units
	}
	p.slot = make([]int32, len(p.ms))
	for i := range p.ms {
		m := &p.ms[i]
		for j := m.first; j <= m.last; j++ {
			if list := p.byKey[score[j].Key]; len(list) == 0 || list[len(list)-1] != int32(i) {
				p.byKey[score[j].Key] = append(list, int32(i))
			}
		}
	}
	return p
}

// offer has a hypothesis be kept if it is its moment's best.
func (p *path) offer(h hypothesis) {
	if at := p.slot[h.moment]; at == 0 {
		p.next = append(p.next, h)
		p.slot[h.moment] = int32(len(p.next))
	} else if h.cost < p.next[at-1].cost {
		p.next[at-1] = h
	}
}

// heard is what it costs to hear a key at a moment.
func (p *path) heard(i int, key uint8) float64 {
	switch {
	case p.ms[i].keys.has(key):
		return 0
	case i > 0 && p.ms[i-1].keys.has(key), i+1 < len(p.ms) && p.ms[i+1].keys.has(key):
		return costLate
	case p.ms[i].near.has(key):
		return costNear
	}
	return costForeign
}

// onTime is what it costs to take so long instead of the expected time. Short times
// are never exact, so both have the spread of a chord added.
func onTime(took, expected float64) float64 {
	d := math.Log((took + chordSeconds) / (expected + chordSeconds))
	return min(d*d/(2*spread*spread), costTime)
}

func (p *path) begin(n Note) {
	for i := range p.ms {
		start := min(costSkip*float64(i), costJump)
		p.offer(hypothesis{cost: start + p.heard(i, n.Key), pace: p.pace, at: n.At, moment: int32(i), from: None})
	}
}

// hear takes the next note of a performance; what follows it says where a jump may lead.
func (p *path) hear(before, n Note, following []Note) {
	best := 0
	for k := range p.beam {
		if p.beam[k].cost < p.beam[best].cost {
			best = k
		}
	}
	gap := max(n.At-before.At, 0)
	for k := range p.beam {
		p.goOn(&p.beam[k], int32(k), n, gap)
	}
	from := &p.beam[best] // one origin serves all jumps: the best
	jumps := 0
	for _, i := range p.byKey[n.Key] {
		if p.leadsOn(int(i), following) {
			p.offer(hypothesis{cost: from.cost + costJump, pace: from.pace, at: n.At, moment: i, from: int32(best), jumped: true})
			if jumps++; jumps == beamWidth {
				break // they all cost the same, and of equals the beam keeps the first
			}
		}
	}
}

// leadsOn reports whether most of the notes that follow are of the moment i or those
// right after it: else no jump leads there.
func (p *path) leadsOn(i int, following []Note) bool {
	following = following[:min(len(following), 4)]
	found := 0
	for _, n := range following {
		for j := i; j < min(i+4, len(p.ms)); j++ {
			if p.ms[j].keys.has(n.Key) {
				found++
				break
			}
		}
	}
	return 4*found >= 3*len(following)
}

// goOn has a hypothesis stay at its moment, or go on by one or a few.
func (p *path) goOn(h *hypothesis, number int32, n Note, gap float64) {
	i := int(h.moment)
	stay := *h
	stay.from, stay.jumped = number, false
	stay.cost += costStay + min(p.heard(i, n.Key), costTrill) + min(gap/chordSeconds, costHeld)
	p.offer(stay)
	for d := 1; d <= farthest && i+d < len(p.ms); d++ {
		m := &p.ms[i+d]
		units, took := m.at-p.ms[i].at, max(n.At-h.at, 0)
		next := hypothesis{moment: int32(i + d), from: number, at: n.At, pace: h.pace}
		next.cost = h.cost + costSkip*float64(d-1) + p.heard(i+d, n.Key) + onTime(took, units*h.pace)
		ratio := min(max(took/units/h.pace, 1/mostRatio), mostRatio)
		next.pace = h.pace * math.Pow(ratio, paceMemory*min(units*h.pace, 1))
		p.offer(next)
	}
}

// keep makes the offered hypotheses the beam.
func (p *path) keep() {
	best := math.Inf(1)
	for i := range p.next {
		best = min(best, p.next[i].cost)
		p.slot[p.next[i].moment] = 0
	}
	p.beam = p.beam[:0]
	for i := range p.next {
		if p.next[i].cost <= best+beamCost {
			p.next[i].cost -= best
			p.beam = append(p.beam, p.next[i])
		}
	}
	if len(p.beam) > beamWidth {
		slices.SortFunc(p.beam, func(a, b hypothesis) int {
			return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.moment, b.moment))
		})
		p.beam = p.beam[:beamWidth]
	}
	p.next = p.next[:0]
	p.starts = append(p.starts, len(p.steps))
	for i := range p.beam {
		p.steps = append(p.steps, step{p.beam[i].moment, p.beam[i].from, p.beam[i].jumped})
	}
}

// visit is where a note of the performance stands: at a moment, in a pass.
type visit struct {
	moment int
	pass   int
}

// find runs over the performance.
func (p *path) find(take []Note) []visit {
	for k, n := range take {
		if k == 0 {
			p.begin(n)
		} else {
			p.hear(take[k-1], n, take[k+1:])
		}
		p.keep()
	}
	at := 0
	for k := range p.beam {
		if p.beam[k].cost < p.beam[at].cost {
			at = k
		}
	}
	visits := make([]visit, len(take))
	jumps := make([]bool, len(take))
	for k := len(take) - 1; k >= 0; k-- {
		s := p.steps[p.starts[k]+at]
		visits[k].moment, jumps[k], at = int(s.moment), s.jumped, int(s.from)
	}
	pass := 0
	for k := range visits {
		if jumps[k] {
			pass++
		}
		visits[k].pass = pass
	}
	return visits
}
