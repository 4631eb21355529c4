package beat

import (
	"math"
	"math/bits"
	"time"
)

// Estimate is where the beat is thought to be.
type Estimate struct {
	Quarter    float64       // beats counted since the first; a beat is a quarter note, or a dotted one where Parted is 3
	InBar      float64       // beat of the bar: from 1, its first, to just under BeatsInBar+1; 0 if no bar has been found
	BeatsInBar int           // 2, 3 or 4; 0 if no bar has been found
	Parted     int           // 2 or 3: what a beat is parted into. A bar of two beats parted by three is 6/8. 0 is unknown
	Period     time.Duration // of a beat; 0 if no beat has been found
	Sure       float64       // that the beat is right, 0..1
	BarSure    float64       // that the bar is, too, 0..1
}

// Limits of the tracker. Ours, not published.
const (
	chordGap   = 0.030 // seconds within which onsets are one moment
	startAfter = 5.0   // seconds without an onset after which the music starts afresh
	thinkEvery = 0.5   // seconds of music at least between two looks at the metre
	fewOnsets  = 4     // moments before which nothing is said
	fadeAfter  = 4.0   // beats without an onset after which it becomes less sure,
	fadeOver   = 8.0   // and beats over which it falls by e

	bendsFollow = 0.06 // of a moment goes into the share of those that stand in no exact grid
	wary        = 0.1  // of them, and it is listened for a person too
	bendy       = 0.35 // of them is more than a sequencer plays: a person is heard
	looseTold   = 0.5  // of how sure the filter is of a person's beat is told: never that it is sure
)

// moment is what starts together.
type moment struct {
	at       float64 // seconds
	low      int
	notes    int
	velocity int    // the greatest
	classes  uint16 // pitch classes
	says     [features]float64
}

// Tracker infers the beat and the bar from the onsets of played-back notation, of all
// parts together. The zero Tracker is ready.
//
// It follows several exact grids through the onsets (a sequencer's onsets stand in one to
// about a millisecond), and weighs on the most probable one which step makes the beat
// and which beats the bar, by the last 96 moments, those of the latest quarter of a
// minute most. Double and half tempo cannot always be told apart from onsets.
//
// On real scores as a notation program plays them it has 72 to 81 % of the beats (F) and 58 to 69 % of
// the first beats of bars; of the beats where Sure is over 0.8, 76 to 88 % are right, for which of
// two lengths of the beat is the written one it cannot hear (testdata/evidence/following.md). A
// person at a keyboard it does not follow.
//
// A note that starts with others costs some 10 ns, the first of a moment some 3 µs, and a
// look at the metre, taken with it five times a second at most, some 10 µs more.
type Tracker struct {
	open   moment // what starts now
	opened bool
	ring   [window]moment
	count  int // moments closed since the music started afresh

	beam    beam
	loose   loose
	bends   float64 // the share of the latest moments that stood in no exact grid
	heard   heard
	metre   metre
	thought float64 // seconds: when the metre was looked at

	line straight
}

// straight is the beat as a straight line of time.
type straight struct {
	at      float64 // seconds
	quarter float64
	period  float64 // seconds; 0 if unknown
	bar     float64 // the beat of the bar at at, less one
	est     Estimate
}

func (s *straight) quarterAt(at float64) float64 { return s.quarter + (at-s.at)/s.period }

// Onset hears a note start. Key and velocity are MIDI numbers.
func (t *Tracker) Onset(at time.Duration, key, velocity int) {
	now := at.Seconds()
	if t.opened {
		if now-t.open.at <= chordGap {
			t.open.add(key, velocity)
			return
		}
		t.close(now)
		t.hearLoose(now)
		if now-t.open.at > startAfter {
			t.startAfresh(now)
		}
	}
	t.opened = true
	t.open = moment{at: now, low: key}
	t.open.add(key, velocity)
	t.beam.step(now, t.count%window)
	t.follow(now)
}

func (m *moment) add(key, velocity int) {
	m.low = min(m.low, key)
	m.notes++
	m.velocity = max(m.velocity, velocity)
	m.classes |= 1 << (uint(key) % 12)
}

// close keeps the moment that was open, now that its length is known.
func (t *Tracker) close(now float64) {
	m := &t.open
	var before uint16
	for i := max(0, t.count-4, t.count-window); i < t.count; i++ {
		before |= t.ring[i%window].classes
	}
	fresh := float64(bits.OnesCount16(m.classes&^before)) / float64(bits.OnesCount16(m.classes))
	long := 1 - math.Exp(-(now-m.at)/0.5) // Parncutt 1994, the form from memory
	m.says = [features]float64{long * long, -float64(m.low), math.Log(float64(m.notes)), float64(m.velocity), fresh}
	t.ring[t.count%window] = *m
	t.count++
}

// startAfresh forgets all but the count of beats.
func (t *Tracker) startAfresh(now float64) {
	if t.line.period > 0 {
		t.line.quarter = math.Ceil(t.line.quarterAt(now))
		t.line.at = now
	}
	t.count, t.beam.n, t.metre, t.loose.begun = 0, 0, metre{}, false
	t.line.est.Sure, t.line.est.BarSure = 0, 0
	t.thought = 0
}

// follow brings the beat up to the latest moment.
func (t *Tracker) follow(now float64) {
	g := &t.beam.grids[0]
	if t.count+1 < fewOnsets || g.unit == 0 {
		return
	}
	if t.bends += bendsFollow * (bent(g) - t.bends); t.bends > bendy {
		t.followLoose(now)
		return
	}
	if now-t.thought >= thinkEvery || t.metre.beat == 0 {
		t.think(now)
	}
	if g.beat == 0 { // it has come up since the last look
		return
	}
	l := &t.line
	l.at, l.quarter, l.period = g.at, g.beats(g.pos), g.unit*float64(g.beat)
	l.bar = float64(mod(g.pos-g.first, g.beat*g.bar)) / float64(g.beat)
	steady := 1 / (1 + 0.5*float64(g.off))
	if g.bent < 2 {
		steady *= 0.7
	}
	l.est = Estimate{
		BeatsInBar: int(g.bar), Parted: t.metre.parted,
		Sure: t.metre.sure * steady, BarSure: t.metre.barSure * steady,
	}
}

// bent is 1 where the latest moment stood in no exact grid, else 0.
func bent(g *grid) float64 {
	if g.off == 0 && g.bent > 0 {
		return 0
	}
	return 1
}

// hearLoose has what a person's beat is told by hear the moment that was open. Exact music is spared its cost.
func (t *Tracker) hearLoose(now float64) {
	if t.bends <= wary {
		t.loose.begun = false
		return
	}
	t.loose.step(&t.open, now-t.open.at)
}

// followLoose brings the beat of a person up to the latest moment. No bar is told.
func (t *Tracker) followLoose(now float64) {
	l := &t.line
	expected := math.NaN()
	if l.period > 0 {
		expected = l.quarterAt(now)
	}
	period, place, sure := t.loose.tell(expected)
	if l.period == 0 {
		expected = 0
	}
	l.at, l.quarter, l.period, l.bar = now, math.Round(expected-place)+place, period, 0
	l.est = Estimate{Sure: sure * looseTold}
	t.metre, t.thought = metre{}, 0
}

// think looks at the metre of the most probable grid.
func (t *Tracker) think(now float64) {
	for i := range t.beam.n {
		t.beam.grids[i].tidy()
	}
	g := &t.beam.grids[0]
	for g.unit > longUnit {
		g.divide(2)
		g.unit /= 2
		g.pos *= 2
	}
	h := &t.heard
	t.weigh(g, now)
	if h.n < 2 {
		return
	}
	m := h.infer(g)
	g.adopt(m, trustGrowth*min(1, now-t.thought), func(pos int32) float64 {
		if t.line.period == 0 {
			return 0
		}
		return t.line.quarterAt(g.at - float64(g.pos-pos)*g.unit)
	})
	t.metre, t.thought = m, now
}

// features of an onset: its length, depth, number of notes, loudness and freshness of
// harmony.
const features = 5

// How much each says of beats and of bars. Ours; that length says most is Drake and
// Palmer's finding (1993) of players' own accents.
var (
	beatWorth = [features]float64{0.55, 0.25, 0.35, 0.15, 0.1}
	barsWorth = [features]float64{0.2, 0.4, 0.05, 0.1, 0.5}
)

// weigh gathers what is to be weighed.
func (t *Tracker) weigh(g *grid, now float64) {
	h := &t.heard
	h.n = 0
	var values [window][features]float64
	var mean, square [features]float64
	decay := math.Ln2 / halfLife
	oldest := now
	for i := max(0, t.count-window+1); i < t.count; i++ {
		if g.on[i%window] == offGrid {
			continue
		}
		m := &t.ring[i%window]
		oldest = min(oldest, m.at)
		values[h.n] = m.says
		for f, x := range m.says {
			mean[f] += x
			square[f] += x * x
		}
		h.pos[h.n] = g.on[i%window]
		h.weight[h.n] = math.Exp(-decay * (now - m.at))
		h.n++
	}
	n := float64(h.n)
	var scale [features]float64
	for f := range features {
		mean[f] /= n
		if v := square[f]/n - mean[f]*mean[f]; v > 1e-6 {
			scale[f] = 1 / math.Sqrt(v)
		}
	}
	for i, v := range values[:h.n] {
		h.accent[i], h.bar[i] = 0, 0
		for f, x := range v {
			z := max(-2, min(2, (x-mean[f])*scale[f]))
			h.accent[i] += beatWorth[f] * z
			h.bar[i] += barsWorth[f] * z
		}
	}
	step := decay * g.unit
	h.slots = (1 - math.Exp(-decay*(now-oldest))) / (1 - math.Exp(-step))
}

// Beat is where the beat is at a time, by what has been heard till now. Before the fourth
// onset all is zero. A time before the latest onset is counted back by the present tempo. Where the
// reading of the music changes, the count may jump, by less than a beat as a rule.
func (t *Tracker) Beat(at time.Duration) Estimate {
	l := &t.line
	if l.period == 0 {
		return Estimate{}
	}
	e := l.est
	now := at.Seconds()
	passed := (now - l.at) / l.period
	e.Quarter = l.quarter + passed
	e.Period = time.Duration(l.period * float64(time.Second))
	if e.BeatsInBar > 0 {
		in, bar := l.bar+passed, float64(e.BeatsInBar)
		if e.InBar = 1 + in - bar*math.Floor(in/bar); e.InBar >= 1+bar { // by rounding
			e.InBar = 1
		}
	}
	if quiet := (now-t.open.at)/l.period - fadeAfter; quiet > 0 {
		fade := math.Exp(-quiet / fadeOver)
		e.Sure *= fade
		e.BarSure *= fade
	}
	return e
}
