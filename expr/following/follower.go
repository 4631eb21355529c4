package following

import (
	"math"
	"time"

	"swellbox/expr"
)

// The figures are ours, not published, and tried with the scores of the tests.
const (
	beam   = 32 // hypotheses at most
	window = 6  // events that a new hypothesis is to explain

	jumpCost    = 5.8  // nats: one event in 300 begins a jump
	hopeless    = 14.0 // nats below music that is not the score, where a hypothesis ends
	enoughSure  = 0.9  // from which on a match is told
	learnSure   = 0.97 // from which on channels, presence and tempo are learnt
	learnHits   = 4
	settledHits = 8           // below, other places are looked for however sure this one is
	lostSure    = 0.9         // below, as well
	trustedVr   = 0.02 * 0.02 // variance of a ratio that is known

	// The music may be another piece that has a bar or two in common with the score.
	// While little of it is foretold, a place must have stood a longer test.
	recordRate      = 1.0 / 32  // by which an event changes the record
	recordChordRate = 1.0 / 128 // the same for one that sounds with the one before it
	newRecord       = 0.85      // before anything is heard: the score is loaded because it will be played
	badRecord       = 0.75      // below, the music may be another piece
	provenHits      = 24        // notes by which a place is proven all the same
	provenTime      = 5.0       // and the seconds that they last at least: a bar or two may be by chance

	// Two places are before the same music if so much of it is.
	ahead      = 2.0 // seconds of the score
	aheadNotes = 12  // and at least so many notes
	aheadMost  = 512 // though no more than these are compared
)

// Match is what is known of one note.
type Match struct {
	Note int     // index into Score.Notes; -1 if it is not known, or not sure enough
	Sure float64 // 0 to 1: probability that it is the likeliest note, or one before the same music
}

// event is a note of the live stream.
type event struct {
	at      float64 // seconds
	base    float64 // weight, before the event, of music that is not the score
	channel int32
	key     uint8
	chord   bool
}

// Follower aligns a live stream of notes with a score. Its zero value is of no use:
// see [New].
type Follower struct {
	score    *expr.Score
	index    *index
	channels []channel // by port*16+channel, and strangers
	present  []presence

	hypotheses []hypothesis // at most beam
	nowhere    float64      // weight of music that is not the score
	least      float64      // weight below which a hypothesis ends
	recent     [window]event
	heard      int     // events in recent, the newest first
	record     float64 // share of the recent events that were foretold
	lostFor    int     // events since the last that was matched

	ratio float64 // of the last sure hypothesis
	here  float64 // score time where it was last known to be
	hinted

	seeker seeker
	listener
}

// hinted is where the music is told to go on.
type hinted struct {
	hint     float64 // score time; NaN if it is not told
	hintLeft int     // events for which the hint holds
}

// New prepares a score for being followed. The score must not change any more.
func New(score *expr.Score) *Follower {
	if score == nil {
		score = &expr.Score{}
	}
	x := newIndex(score)
	f := &Follower{
		score: score, index: x, ratio: 1, record: newRecord, listener: listener{program, unheardSpread},
		channels:   make([]channel, strangers+1),
		present:    make([]presence, len(x.share)),
		hypotheses: make([]hypothesis, 0, beam),
	}
	for i := range f.present {
		f.present[i].set(unheard)
	}
	f.channels[strangers].met = true
	f.seeker.tracks = make([]track, 0, window*maxSeats)
	f.Reset()
	return f
}

// Reset forgets where the music is, as when the transport stops. What has been learnt
// of channels, muted parts and the tempo stays.
func (f *Follower) Reset() {
	f.hypotheses = f.hypotheses[:0]
	f.nowhere, f.heard, f.lostFor = 0, 0, 0
	f.hint, f.hintLeft = math.NaN(), 0
	f.record = (f.record + newRecord) / 2
	f.seeker.credit, f.seeker.tempo = mostCredit, tempoMost
	for i := range f.present {
		f.present[i].set((f.present[i].there + unheard) / 2)
	}
}

// hintEvents is how many events a hint is believed.
const hintEvents = 8

// Locate resets, and tells where the music will go on: quarter notes since the
// score's start, as of a song position pointer. The music may go on elsewhere.
func (f *Follower) Locate(beat float64) {
	f.Reset()
	if !math.IsNaN(beat) && !math.IsInf(beat, 0) && len(f.index.notes) > 0 {
		f.hint, f.hintLeft = f.timeOf(beat), hintEvents
	}
}

// Note takes a note that begins. Times never run back: an earlier one counts as the
// last. Any port, channel and key will do.
func (f *Follower) Note(at time.Duration, port uint16, channel uint8, key uint8) Match {
	if len(f.index.notes) == 0 || key >= keys || channel > 15 {
		return Match{Note: -1}
	}
	e := f.enter(at, port, channel, key)
	f.hearAll(e)
	f.seeker.earn(f.lostFor)
	if f.lost() {
		f.seek()
	}
	f.dropTwins()
	f.settleWeights()
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
func (f *Follower) enter(at time.Duration, port uint16, number uint8, key uint8) *event {
	e := event{at: seconds(at), key: key, channel: strangers}
	if port < maxPorts {
		e.channel = int32(port)*16 + int32(number)
		c := &f.channels[e.channel]
		if !c.met {
			c.meet(f.index, port, number)
		}
		f.wake(c)
	}
	if f.heard > 0 {
		e.at = max(e.at, f.recent[0].at)
		f.listen(e.at - f.recent[0].at)
		e.chord = e.at-f.recent[0].at < f.hand.chordGap
	}
	f.nowhere = logAdd(f.nowhere, f.total()-jumpCost)
	f.least = f.nowhere - hopeless
	e.base = f.nowhere
	copy(f.recent[1:], f.recent[:])
	f.recent[0] = e
	f.heard = min(f.heard+1, window)
	return &f.recent[0]
}

// wake notes that a channel sounds, so that its parts are not muted.
func (f *Follower) wake(c *channel) {
	for i := range c.seats {
		s := &c.seats[i]
		if c.sits(i) && s.notes > c.total/2 && f.present[s.part].there < awake {
			f.present[s.part].set(awake)
		}
	}
}

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
		c, alive := h.choose(f, e, false, learn && i == best)
		if !alive {
			h.weight = math.Inf(-1)
			continue
		}
		for k := 1; k < c.n && h.vs > unsure && forked < forksMost; k++ {
			if c.weight[k] > c.weight[0]-likelier {
				forks[forked] = *h
				forks[forked].take(f, c.note[k], c.weight[k])
				forked++
			}
		}
		h.decide(f, &c)
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

// evidence is what the key and the channel of an event say for a note, in nats,
// against other music on the same channels: rare keys and known channels say most.
func (f *Follower) evidence(e *event, w *written) float64 {
	x := f.index
	plays := f.channels[e.channel].plays(x, w.part)
	usual := plays*x.often[int(w.part)*keys+int(w.key)] + (1-plays)*x.usual[w.key]
	return f.present[w.part].hit + math.Log(plays/(x.share[w.part]*usual))
}
