package beat

import (
	"math"
	"time"

	"swellbox/expr/thresholds"
)

// State says whether a sequence runs.
type State uint8

const (
	Stands State = iota // single notes are typed or tried: they are to sound at once
	Runs                // music is played back: it may be delayed to be looked ahead in
)

// String names the state.
func (s State) String() string {
	if s == Runs {
		return "runs"
	}
	return "stands"
}

// Reason says in plain words what a [State] rests on.
type Reason string

const (
	Silence     Reason = "silence"           // nothing has come, or nothing for long
	SingleNotes Reason = "single notes"      // notes come, but not as played music does
	MusicPlays  Reason = "music plays"       // notes come as played music does
	ClockRuns   Reason = "clock runs"        // a start or continue came
	Stopped     Reason = "transport stopped" // a stop came, or all notes were cut off
)

// Times and counts by which played-back music is told from single notes. All ours,
// not published.
const (
	pauseTime  = 2 * time.Second         // without a note: the next one is a first note
	endTime    = 4 * time.Second         // without input: the music is over; a general pause is shorter
	deadTime   = 30 * time.Second        // without input: what still sounds, or still runs by its start, is forgotten
	setUpTime  = 500 * time.Millisecond  // by which set-up comes before the first note
	tuttiTime  = thresholds.Wire         // within which notes start together
	chordTime  = thresholds.Onset        // within which notes are one onset
	joinTime   = 1500 * time.Millisecond // within which an onset follows the one before
	shortest   = 60 * time.Millisecond   // interval that tells of a grid: a hand that rolls a chord makes shorter ones
	cutTime    = 100 * time.Millisecond  // within which all notes are cut off on several channels
	loopTime   = 250 * time.Millisecond  // after a cut, within which the music goes on: a loop
	runOnsets  = 4                       // that a grid is told from,
	sureOnsets = 8                       // and that it takes to be sure of it
	gridExact  = 2 * time.Millisecond    // deviation from a regular grid that a sequencer makes,
	gridShare  = 0.004                   // and what its clock adds, of the interval
	maxHalves  = 16                      // half-units in an interval, at most
)

// Transport tells whether a sequence runs or stands. Each message is given to
// [Transport.Take] as it comes in; a note is to be treated as its own call says, for nothing
// waits: the first note of a tutti without set-up, and the first three of a solo line, are
// taken for single notes.
//
// By transport messages, once a start or continue has been seen: it runs from start or
// continue to stop, whatever comes between. The clock by itself says nothing, as some
// programs always send it. A program that runs and from which nothing comes for 30 s is
// taken for gone; one that plays in a regular grid (below) without a start is another.
//
// Without them it stands at first, and a note has it run when
//   - set-up came within 500 ms before it: a program, a bank or another controller, a
//     reset, system exclusive or a song position, but not a bend, a pressure, modulation or a
//     pedal, which keys and pedals under a hand also send. This holds for the first note after
//     2 s without one; for a later one the set-up must be a song position, or reach two
//     channels. Where a run that set-up of one channel began turned out to be a single
//     note, the program tries notes in that way, and such set-up no longer counts until
//     music has been heard;
//   - a note of another channel started within 10 ms before it. A chord on one channel can
//     be tried by hand, of whatever size;
//   - it is the fourth of four onsets, each within 1.5 s of the one before, whose intervals
//     are multiples of half the shortest to within 2 ms and 0.4 %: irregular typing
//     does that by chance, but then the onsets that follow are as often out of such a grid as in
//     it, and it stands again unless four more have been in it;
//   - all notes had been cut off while music was playing, at most 250 ms before: a loop.
//
// It stands again when nothing has sounded or come for 4 s, or when all notes were cut
// off (all sound off, all notes off) on two channels within 100 ms, or on the only one
// that had played.
type Transport struct {
	state  State
	reason Reason
	told   bool // a start or continue has been seen

	down down
	last time.Duration // of the latest input but clock and sensing

	latest  onsets
	struck  when // the latest note
	ready   when // the latest set-up, of none, one or several channels
	muted   when // when all notes of a channel were cut off
	playing int  // the only channel that has played in this run; several, none
	heard   int  // moments since the state changed

	loops     bool // the music was playing when it was cut off
	trust     int  // onsets in a grid less those out of one, from 1 to sureOnsets; 0: not by a grid
	setUpOnly bool // what had it run was the set-up of one channel, and nothing has confirmed it
	deceived  bool // such set-up has come with single notes
}

// onsets are the latest moments at which notes started, the newest last.
type onsets struct {
	at [runOnsets]time.Duration
	n  int // how many of them belong together
}

// when is when something came, and on which channel; never before the first. Channels are counted through the ports.
type when struct {
	at      time.Duration
	channel int
}

// What stands for a channel where it is not one.
const (
	none    = -1
	several = -2
)

// never is before any time.
const never = math.MinInt64 / 2 * time.Nanosecond

// MIDI 1.0, from memory.
const (
	noteOff       = 0x80
	noteOn        = 0x90
	control       = 0xB0
	program       = 0xC0
	pressure      = 0xD0
	bend          = 0xE0
	sensing       = 0xFE
	ccModulation  = 1
	ccBreath      = 2
	ccFoot        = 4
	ccDamper      = 64
	ccSostenuto   = 66
	ccSoft        = 67
	ccAllSoundOff = 120
	ccAllNotesOff = 123
)

// NewTransport makes one for a number of ports of 16 channels. Messages of further
// ports are heard but their notes are not followed to their end.
func NewTransport(ports int) *Transport {
	t := &Transport{down: down{keys: make([]channelKeys, 16*max(ports, 0))}}
	t.rest(Silence)
	t.struck.at, t.ready.at, t.muted.at, t.loops = never, never, never, false
	return t
}

// rest has it stand.
func (t *Transport) rest(why Reason) {
	if t.setUpOnly && t.heard == 1 {
		t.deceived = true
	}
	t.state, t.reason = Stands, why
	t.playing, t.heard, t.latest.n = none, 0, 0
	t.setUpOnly, t.trust = false, 0
}

// run has it run.
func (t *Transport) run(why Reason) {
	if t.state == Stands {
		t.heard = 0
	}
	t.state, t.reason = Runs, why
}

// State is what holds at a time, if nothing comes until then.
func (t *Transport) State(at time.Duration) (State, Reason) {
	if t.over(at) {
		return Stands, Silence
	}
	return t.state, t.reason
}

// over reports whether nothing has sounded or come for so long that it stands.
func (t *Transport) over(at time.Duration) bool {
	quiet := at - t.last
	return quiet >= deadTime || quiet >= endTime && t.down.sounding == 0 && !t.told
}

// Take hears a message of a port, counted from 0, and returns what holds for it.
func (t *Transport) Take(at time.Duration, port int, msg []byte) State {
	if len(msg) == 0 {
		return t.state
	}
	at = max(at, t.last)
	if msg[0] == sensing || msg[0] == timingClock && !(t.told && t.state == Runs) {
		state, _ := t.State(at)
		return state
	}
	if t.over(at) {
		t.forget(at)
	}
	t.last = at
	switch kind := msg[0]; {
	case kind >= 0xF0:
		t.system(at, msg)
	case kind >= 0x80:
		if n := 16*port + int(kind&0x0F); port >= 0 {
			t.channel(at, n, msg)
		}
	}
	return t.state
}

// forget starts afresh after a long silence.
func (t *Transport) forget(at time.Duration) {
	if at-t.last >= deadTime {
		t.told = t.told && t.state == Stands
		clear(t.down.keys)
		t.down.sounding = 0
	}
	t.rest(Silence)
}

func (t *Transport) system(at time.Duration, msg []byte) {
	switch msg[0] {
	case start, goOn:
		t.told = true
		t.run(ClockRuns)
	case stop:
		t.rest(Stopped)
	case reset:
		if len(msg) == 1 {
			t.told = false
			t.rest(Stopped)
		}
	case sysex, songSelect:
		t.setUp(at, none)
	case songPosition:
		t.setUp(at, several)
	}
}

func (t *Transport) channel(at time.Duration, n int, msg []byte) {
	switch kind := msg[0] & 0xF0; {
	case len(msg) == 3 && kind == noteOn && msg[2] > 0:
		t.note(at, n)
		t.down.press(n, msg[1], true)
	case len(msg) == 3 && (kind == noteOn || kind == noteOff):
		t.down.press(n, msg[1], false)
	case len(msg) == 2 && kind == program:
		t.setUp(at, n)
	case len(msg) == 3 && kind == control:
		switch msg[1] {
		case ccAllSoundOff, ccAllNotesOff:
			t.cut(at, n)
		case ccModulation, ccBreath, ccFoot, ccDamper, ccSostenuto, ccSoft:
		default:
			t.setUp(at, n)
		}
	}
}

// setUp hears set-up of a channel.
func (t *Transport) setUp(at time.Duration, n int) {
	switch {
	case at-t.ready.at > setUpTime:
		t.ready.channel = n
	case t.ready.channel == none:
		t.ready.channel = n
	case n != none && n != t.ready.channel:
		t.ready.channel = several
	}
	t.ready.at = at
}

// cut hears all notes of a channel cut off.
func (t *Transport) cut(at time.Duration, n int) {
	t.down.lift(n)
	only := t.playing == n
	more := at-t.muted.at <= cutTime && t.muted.channel != n
	t.muted.at, t.muted.channel = at, n
	if t.told || !only && !more {
		return
	}
	if t.state == Runs {
		t.loops = true
	}
	t.rest(Stopped)
}

// note judges a note at its start.
func (t *Transport) note(at time.Duration, n int) {
	first := at-t.struck.at >= pauseTime && t.down.sounding == 0
	tutti := at-t.struck.at <= tuttiTime && n != t.struck.channel
	t.struck.at, t.struck.channel = at, n
	if t.playing == none {
		t.playing = n
	} else if t.playing != n {
		t.playing = several
	}
	moment := t.onset(at)
	regular := moment && t.regular()

	if t.told && (t.state == Runs || !regular) {
		return
	}
	t.told = false
	if tutti || regular {
		t.setUpOnly, t.deceived = false, false
	}
	if t.state == Runs {
		t.weigh(tutti, regular, moment)
		return
	}
	setUp := at-t.ready.at <= setUpTime
	alone := t.ready.channel != several
	switch {
	case regular:
		t.run(MusicPlays)
		t.trust = runOnsets
	case tutti, t.loops && at-t.muted.at <= loopTime, setUp && !alone:
		t.run(MusicPlays)
	case setUp && first && !t.deceived:
		t.run(MusicPlays)
		t.setUpOnly = true
	default:
		t.reason = SingleNotes
	}
	t.heard++
	t.loops = false
}

// weigh has a run that rests on a grid alone stand again where the grid was chance.
func (t *Transport) weigh(tutti, regular, moment bool) {
	switch {
	case t.trust == 0 || t.trust == sureOnsets:
	case tutti:
		t.trust = sureOnsets
	case regular:
		t.trust++
	case moment:
		if t.trust--; t.trust == 0 {
			t.rest(SingleNotes)
		}
	}
}

// onset counts a note's start, and reports whether it is a new moment.
func (t *Transport) onset(at time.Duration) bool {
	if t.latest.n > 0 {
		switch since := at - t.latest.at[runOnsets-1]; {
		case since <= chordTime:
			return false
		case since > joinTime:
			t.latest.n = 0
		}
	}
	copy(t.latest.at[:], t.latest.at[1:])
	t.latest.at[runOnsets-1] = at
	t.latest.n = min(t.latest.n+1, runOnsets)
	if t.state == Runs {
		t.heard++
	}
	return true
}

// regular reports whether the latest onsets stand in a grid of half their shortest
// interval.
func (t *Transport) regular() bool {
	if t.latest.n < runOnsets {
		return false
	}
	unit := time.Duration(math.MaxInt64)
	for i := 1; i < runOnsets; i++ {
		unit = min(unit, t.latest.at[i]-t.latest.at[i-1])
	}
	half := float64(unit) / 2
	for i := 1; i < runOnsets; i++ {
		d := float64(t.latest.at[i] - t.latest.at[i-1])
		k := math.Round(d / half)
		if unit < shortest || k > maxHalves || math.Abs(d-k*half) > float64(gridExact)+gridShare*d {
			return false
		}
	}
	return true
}
