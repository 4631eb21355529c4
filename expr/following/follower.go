package following

import (
	"math"
	"time"

	"swellbox/expr"
)

// Follower aligns a live stream of notes with a score. Its zero value is of no use:
// see [New].
type Follower struct {
	ground
	stream
	beam
	expected
	seeker seeker

	record  float64 // share of the recent events that were foretold
	lostFor int     // events since the last that was matched
}

// New prepares a score for being followed. The score must not change any more.
func New(score *expr.Score) *Follower {
	if score == nil {
		score = &expr.Score{}
	}
	f := &Follower{ground: newGround(newIndex(score)), beam: newBeam(), expected: expected{ratio: 1}, record: newRecord}
	f.seeker = newSeeker(&f.ground, &f.stream, &f.beam, &f.expected)
	f.Reset()
	return f
}

// Reset forgets where the music is, as when the transport stops. What has been learnt
// of channels, muted parts and the tempo stays.
func (f *Follower) Reset() {
	f.clear()
	f.hint, f.hintLeft = math.NaN(), 0
	f.heard, f.lostFor = 0, 0
	f.record = (f.record + newRecord) / 2
	f.seeker.reset()
	for i := range f.present {
		f.present[i].set((f.present[i].there + unheard) / 2)
	}
}

// Locate resets, and tells where the music will go on: quarter notes since the
// score's start, as of a song position pointer. The music may go on elsewhere.
func (f *Follower) Locate(beat float64) {
	f.Reset()
	if !math.IsNaN(beat) && !math.IsInf(beat, 0) && len(f.notes) > 0 {
		f.hint, f.hintLeft = f.timeOf(beat), hintEvents
	}
}

// Note takes a note that begins. Times never run back: an earlier one counts as the
// last. Any port, channel and key will do.
func (f *Follower) Note(at time.Duration, port uint16, channel uint8, key uint8) Match {
	if len(f.notes) == 0 || key >= keys || channel > 15 {
		return Match{Note: -1}
	}
	e := f.enter(seconds(at), port, channel, key)
	e.base = f.mayJump()
	f.hearAll(e)
	f.seeker.earn(f.lostFor)
	if f.lost() {
		f.seeker.seek(f.lostFor)
	}
	f.dropTwins(f.hand.twinScore)
	f.rebase(f.settle())
	m := f.match()
	if f.lostFor++; m.Note >= 0 {
		f.lostFor = 0
	}
	f.learn(e)
	if f.hintLeft > 0 {
		f.hintLeft--
	}
	return m
}

// enter puts an event before the recent ones.
func (f *Follower) enter(at float64, port uint16, channel, key uint8) *event {
	gap := -1.0
	if f.heard > 0 {
		at = max(at, f.recent[0].at)
		gap = at - f.recent[0].at
	}
	return f.push(f.meet(at, gap, port, channel, key))
}

// By which an event changes the record of what was foretold. Ours, not published.
const (
	recordRate      = 1.0 / 32
	recordChordRate = 1.0 / 128 // the same for one that sounds with the one before it
	newRecord       = 0.85      // before anything is heard: the score is loaded because it will be played
)

// hearAll has every hypothesis take an event. One that does not know its place well
// takes it in more than one way.
func (f *Follower) hearAll(e *event) {
	const (
		unsure    = 0.010 * 0.010 // variance of the place
		likelier  = 4.0           // nats above which the second choice is left out
		forksMost = 8
	)
	best := f.best()
	learn := best >= 0 && f.sure(best) >= learnSure && f.hypotheses[best].hits >= learnHits
	var forks [forksMost]hypothesis
	forked := 0
	for i := range f.hypotheses {
		h := &f.hypotheses[i]
		c, alive := h.choose(&f.ground, e, f.least, false, learn && i == best)
		if !alive {
			h.weight = math.Inf(-1)
			continue
		}
		for k := 1; k < c.n && h.vs > unsure && forked < forksMost; k++ {
			if c.weight[k] > c.weight[0]-likelier {
				forks[forked] = *h
				forks[forked].take(&f.ground, c.note[k], c.weight[k])
				forked++
			}
		}
		h.decide(&f.ground, &c)
	}
	rate := recordRate
	if e.chord {
		rate = recordChordRate
	}
	f.record += rate * (foretold(f.hypotheses, best) - f.record)
	f.dropDead()
	for i := range forked {
		f.add(&forks[i])
	}
}

// foretold is 1 if the hypothesis that was the likeliest knew the event, else 0.
func foretold(hypotheses []hypothesis, best int) float64 {
	if best >= 0 && hypotheses[best].matched {
		return 1
	}
	return 0
}
