package following

import "math"

// The model, ours, not published; times in seconds. A notation program keeps time to
// the millisecond; what is wider is for the tempo, which the user may change.
const (
	outlier    = 0.03 // share of the notes that are anywhere within reach
	loose      = 0.15 // share of the notes that are off by three times as much
	leastRatio = 0.35 // of live to written tempo
	mostRatio  = 2.8

	musicRate = 20.0 // moments a second of any music: a note at a foretold time says more than that
	chordRate = 60.0 // the same for a note that sounds with the one before it

	extraCost = 3.5 // nats against a hypothesis for a note that is not in the score there
)

// pending is how many notes ahead of the settled ones a hypothesis can tell apart.
const pending = 256

// hypothesis is a place in the score and a tempo: the live time `at` is the score's
// time `score`, and a second of live time is `ratio` seconds of the score's. Its
// uncertainty is a Kalman filter's.
type hypothesis struct {
	at, score    float64
	corrected    float64 // live time of the note heard last
	ratio        float64
	vs, vsr, vr  float64 // variances of score and ratio, and their covariance
	weight       float64 // log of its likelihood, against music that is not the score
	next         int32   // notes before it are settled: heard or missing
	last         int32   // the note heard last
	born         float64 // live time of its first note
	hits, extras int32   // notes that are in the score there, and that are not
	matched      bool    // the last event was the note last
	heard        [pending / 64]uint64
}

// choices are the notes that an event may be, the likeliest first.
type choices struct {
	n      int
	note   [3]int32
	weight [3]float64
}

func (c *choices) add(note int32, weight float64) {
	i := min(c.n, len(c.note)-1)
	if c.n == len(c.note) && weight <= c.weight[i] {
		return
	}
	for ; i > 0 && c.weight[i-1] < weight; i-- {
		c.note[i], c.weight[i] = c.note[i-1], c.weight[i-1]
	}
	c.note[i], c.weight[i] = note, weight
	c.n = min(c.n+1, len(c.note))
}

func (h *hypothesis) isHeard(i int32) bool { return h.heard[i/64%(pending/64)]>>(i%64)&1 != 0 }
func (h *hypothesis) setHeard(i int32)     { h.heard[i/64%(pending/64)] |= 1 << (i % 64) }
func (h *hypothesis) setUnheard(i int32)   { h.heard[i/64%(pending/64)] &^= 1 << (i % 64) }

// advance moves the hypothesis to a live time, and says how far off the score's time
// a note may be there.
func (h *hypothesis) advance(g *ground, at float64) (gate float64) {
	if dt := at - h.at; dt > 0 {
		q := g.hand.wander * h.ratio
		q *= q * dt
		h.score += h.ratio * dt
		h.vs += dt * (2*h.vsr + dt*(h.vr+q/3))
		h.vsr += dt * (h.vr + q/2)
		h.vr += q
		h.at = at
	}
	return h.ratio*g.hand.reach + 3*math.Sqrt(h.vs)
}

// settle counts what should have sounded before a time of the score and did not. A
// hypothesis for which too much is missing is dead.
func (h *hypothesis) settle(g *ground, until, least float64, learn bool) (alive bool) {
	n := int32(len(g.notes))
	for ; h.next < n && g.notes[h.next].on < until; h.next++ {
		if h.isHeard(h.next) {
			h.setUnheard(h.next)
			continue
		}
		present := &g.present[g.notes[h.next].part]
		h.weight += present.missing
		if learn {
			present.learn(0)
		}
		if h.weight < least {
			return false
		}
	}
	return true
}

// choose finds what an event may be, if the hypothesis lives on. first says that the
// hypothesis begins with it, so that its time is no evidence.
func (h *hypothesis) choose(g *ground, e *event, least float64, first, learn bool) (c choices, alive bool) {
	gate := h.advance(g, e.at)
	h.matched = false
	if !h.settle(g, h.score-gate, least, learn) {
		return c, false
	}
	notes := g.notes
	end := min(int(h.next)+pending, len(notes))
	for i := int(h.next); i < end && notes[i].on <= h.score+gate; i++ {
		if notes[i].key != e.key || h.isHeard(int32(i)) {
			continue
		}
		w := g.evidence(e, &notes[i])
		if !first {
			w += h.timing(g, notes[i].on, gate, e.chord)
		}
		if w > -extraCost {
			c.add(int32(i), w)
		}
	}
	return c, true
}

// hear is choose and the likeliest choice.
func (h *hypothesis) hear(g *ground, e *event, least float64, first bool) (alive bool) {
	c, alive := h.choose(g, e, least, first, false)
	if alive {
		h.decide(g, &c)
	}
	return alive && h.weight >= least
}

// decide takes the likeliest choice; without one the event is not in the score.
func (h *hypothesis) decide(g *ground, c *choices) {
	if c.n == 0 {
		h.weight -= extraCost
		h.extras++
		return
	}
	h.take(g, c.note[0], c.weight[0])
}

// take makes the event a note of the score.
func (h *hypothesis) take(g *ground, i int32, weight float64) {
	h.weight += weight
	h.setHeard(i)
	h.last, h.matched = i, true
	h.hits++
	h.correct(g, g.notes[i].on)
}

// timing is the evidence of a note's time: how much likelier it is than in other music.
func (h *hypothesis) timing(g *ground, on, gate float64, chord bool) float64 {
	off := on - h.score
	noise := g.hand.jitter * h.ratio
	v := h.vs + noise*noise
	x := off * off / (2 * v)
	normal := (1-outlier-loose)*math.Exp(-x) + loose/3*math.Exp(-x/9)
	density := normal/math.Sqrt(2*math.Pi*v) + outlier/(2*gate)
	rate := musicRate
	if chord {
		rate = chordRate
	}
	return math.Log(density * h.ratio / rate)
}

// correct is the filter's step at a note. One that is far off tells that the tempo
// has changed since the note before, by about half of what would explain it.
func (h *hypothesis) correct(g *ground, on float64) {
	off := on - h.score
	noise := g.hand.jitter * h.ratio
	v := h.vs + noise*noise
	if since := h.at - h.corrected; off*off > 6*v && since > g.hand.chordGap {
		changed := off / (2 * since)
		changed *= changed
		h.vs += changed * since * since
		h.vsr += changed * since
		h.vr += changed
		v = h.vs + noise*noise
	}
	h.corrected = h.at
	ks, kr := h.vs/v, h.vsr/v
	h.score += ks * off
	h.ratio = min(max(h.ratio+kr*off, leastRatio), mostRatio)
	h.vr -= kr * h.vsr
	h.vsr -= ks * h.vsr
	h.vs -= ks * h.vs
}
