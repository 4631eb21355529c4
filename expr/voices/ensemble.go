package voices

import (
	"math"
	"time"
)

// Ensemble follows who has the tune among many parts. A part is one line: of a part
// that plays chords, the highest note of a moment is taken, and of one that plays
// several voices, such as a piano, the caller should feed the melody only, as its
// [Separator] finds it.
//
// Parts are numbered from 0. Calls about parts that do not exist, notes outside MIDI's
// ranges and ends of notes that never began are passed over; a time before the latest
// counts as the latest.
type Ensemble struct {
	clock clock
	parts []part
	told  memoir

	members []int32 // parts with a note in the open moment
	open    bool
	lead    int // the most salient of them
	led     int // as far as so many of them have been compared

	origin  int     // key of the first note; all keys are taken from there
	middle  float64 // running mean of the keys of moments
	loud    float64 // running mean of their levels, dB
	news    float64 // running mean of what is new in a moment, notes
	moments int     // settled
	entered float64 // when a part last came in, paces
	holder  int     // has the tune since the last settled moment
	unions  unions
}

// part is one line with what the caller says of it.
type part struct {
	before, now line // as of the last settled moment, and with the open one
	stale       bool // the score is not of its latest note yet
	moment      uint64
	sounding    int
	was         int     // the same, before its note of the open moment
	ended       float64 // when it fell silent, paces; has a meaning when nothing sounds
	rest        float64 // before its note of the open moment, paces
	favour      float64 // log odds
	written     float64 // dB; NaN where only velocities tell
}

// NewEnsemble makes an ensemble of so many parts, of which none has been heard.
func NewEnsemble(parts int) *Ensemble {
	parts = max(parts, 0)
	e := &Ensemble{
		parts:   make([]part, parts),
		members: make([]int32, 0, parts),
		told:    newMemoir(memoirBits(parts)),
		unions:  newUnions(parts),
	}
	for i := range e.parts {
		e.parts[i].written = math.NaN()
	}
	e.Reset()
	return e
}

// memoirBits gives each part room for 16 motives or so, and no ensemble over 4096.
func memoirBits(parts int) int {
	bits := 5
	for 1<<bits < 16*parts && bits < 12 {
		bits++
	}
	return bits
}

// Reset forgets all that was heard. Weights and written levels stay.
func (e *Ensemble) Reset() {
	for i := range e.parts {
		p := &e.parts[i]
		*p = part{favour: p.favour, written: p.written}
	}
	e.clock = clock{}
	e.told.reset()
	e.members, e.open = e.members[:0], false
	e.lead, e.led, e.holder, e.moments = nobody, 0, nobody, 0
	e.middle, e.loud, e.news, e.entered = 0, 0, 0, 0
}

// Weigh multiplies the odds that a part has the tune; 1 is neutral, 0 all but rules it
// out. Anything that is not a weight counts as 1.
func (e *Ensemble) Weigh(part int, weight float64) {
	if !e.has(part) {
		return
	}
	if !(weight >= 0) || math.IsInf(weight, 1) {
		weight = 1
	}
	e.parts[part].favour = math.Log(max(weight, 1e-6))
}

// Level says what is written for a part from its next note on, dB re mf, in place of
// what its velocities say. Anything that is not a level gives the word back to those.
func (e *Ensemble) Level(part int, dB float64) {
	if !e.has(part) {
		return
	}
	if math.IsInf(dB, 0) {
		dB = math.NaN()
	}
	e.parts[part].written = dB
}

func (e *Ensemble) has(part int) bool { return part >= 0 && part < len(e.parts) }

// Note hears a note begin. Notes come in the order of their times.
func (e *Ensemble) Note(part int, at time.Duration, key, velocity int) {
	if !e.has(part) || key < 0 || key > 127 || velocity < 1 || velocity > 127 {
		return
	}
	e.note(part, at, key, velocity, false)
	e.parts[part].sounding++
}

// Off hears a note of a part end. An ensemble that is never told takes the parts to
// hold their notes: it misses their rests, and is slow to give up those that stop.
func (e *Ensemble) Off(part int, at time.Duration) {
	if !e.has(part) || e.parts[part].sounding == 0 {
		return
	}
	if e.parts[part].sounding == 1 {
		e.silence(part, at)
		return
	}
	e.parts[part].sounding--
}

// silence ends all that a part sounds.
func (e *Ensemble) silence(part int, at time.Duration) {
	p := &e.parts[part]
	p.sounding, p.ended = 0, e.clock.at(at)
}

// note hears a note begin, whoever keeps account of its end. A fresh part has no past.
func (e *Ensemble) note(part int, at time.Duration, key, velocity int, fresh bool) {
	if !e.clock.same(at) || !e.open {
		e.settle()
		if e.clock.begin(at) {
			e.origin = key
		}
		e.open, e.lead, e.led = true, nobody, 0
	}
	p := &e.parts[part]
	key -= e.origin
	if p.moment != e.clock.moment {
		e.members = append(e.members, int32(part))
		p.moment = e.clock.moment
		p.was, p.rest = p.sounding, 0
		if p.sounding == 0 {
			p.rest = e.clock.paces - p.ended
		}
	} else if key <= p.now.key {
		return
	}
	n := heardNote{
		at: e.clock.start, paces: e.clock.paces, pace: e.clock.pace, moment: e.clock.moment,
		rest: p.rest, key: key, level: levels[velocity],
	}
	if !math.IsNaN(p.written) {
		n.level = p.written
	}
	p.now = p.before
	if fresh {
		p.now = line{}
	}
	p.now.hear(&n)
	p.stale = true
}

// refresh scores a part's note of the open moment, when someone asks.
func (e *Ensemble) refresh(part int) {
	if p := &e.parts[part]; p.stale {
		p.now.score, p.stale = e.score(p), false
	}
}

// retract takes back the notes of the open moment, but not the moment.
func (e *Ensemble) retract() {
	for _, i := range e.members {
		p := &e.parts[i]
		p.now, p.stale, p.moment, p.sounding = p.before, false, 0, p.was
	}
	e.members, e.lead, e.led = e.members[:0], nobody, 0
}

// Settle closes the open moment if a note at the given time would not be of it.
func (e *Ensemble) Settle(at time.Duration) {
	if e.open && !e.clock.same(at) {
		e.settle()
	}
}

// Salience is how much a part stands out as the tune, 0..1. It fades while the part
// holds a note long, and sooner when it is silent.
func (e *Ensemble) Salience(part int, at time.Duration) float64 {
	if !e.has(part) || e.parts[part].now.heard == 0 {
		return 0
	}
	e.Settle(at)
	return logistic(e.odds(part, e.clock.at(at)))
}

// Tune is the part that has the tune and its salience, 0..1; -1 and 0 before the first
// note.
func (e *Ensemble) Tune(at time.Duration) (part int, salience float64) {
	e.Settle(at)
	part = e.holder
	for ; e.open && e.led < len(e.members); e.led++ {
		next := int(e.members[e.led])
		e.refresh(next)
		if e.lead == nobody || e.before(next, e.lead) {
			e.lead = next
		}
	}
	if e.open && e.lead != nobody && e.overtakes(e.lead) {
		part = e.lead
	}
	return part, e.Salience(part, at)
}

// odds are the log odds that a part has the tune at a time in paces.
func (e *Ensemble) odds(part int, paces float64) float64 {
	e.refresh(part)
	p := &e.parts[part]
	long := max(heldLong, heldSteps*p.now.paces)
	o := p.now.score - heldFade*max(paces-p.now.last-long, 0)
	if p.sounding == 0 {
		o -= silentFade * max(paces-p.ended, 0)
	}
	return o
}

// overtakes reports whether a part takes the tune from the one that has it.
func (e *Ensemble) overtakes(part int) bool {
	if part == e.holder || e.holder == nobody {
		return true
	}
	return e.odds(part, e.clock.paces) > e.odds(e.holder, e.clock.paces)+tenacity
}
