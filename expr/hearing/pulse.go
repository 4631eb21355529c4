package hearing

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
)

// pulse is where the beat is, by the clock that comes in or by what is heard.
type pulse struct {
	clock   beat.Clock
	port    int // from which the clock comes; Unknown until one has
	tracker beat.Tracker

	trial expr.Trial
	fault error // why it is not told any more

	waits         bool // a note has come that the tracker has not heard
	at            time.Duration
	key, velocity uint8
}

// hear keeps a note for the tracker, which is told of it by reflect.
func (p *pulse) hear(at time.Duration, key, velocity uint8) {
	p.waits, p.at, p.key, p.velocity = true, at, key, velocity
}

// reflect has the tracker hear the note that waits.
func (p *pulse) reflect() {
	if p.waits && p.fault == nil {
		defer expr.Lose(&p.fault, expr.OfBeat)
		p.trial.Of(expr.OfBeat)
		p.waits = false
		p.tracker.Onset(p.at, int(p.key), int(p.velocity))
	}
}

// message hears what is no note: the clock of the first port that sends one.
func (p *pulse) message(at time.Duration, port int, msg []byte) {
	if len(msg) > 0 && msg[0] == expr.TimingClock && p.port == expr.Unknown {
		p.port = port
	}
	if p.fault == nil && (p.port == expr.Unknown || p.port == port) {
		defer expr.Lose(&p.fault, expr.OfBeat)
		p.clock.Take(at, msg)
	}
}

// onBeat is how far from a beat, as a share of it, a note is on it still. Ours.
const onBeat = 1. / 32

// sureBar is how sure the bar must be for its strong beats to be told. What is heard is
// not told from half a bar of twice the length, so none of them is more than strong. Ours.
const sureBar = 0.8

// of is where a time lies: quarter notes since the piece's start where a clock tells
// them, else beats since the first note; the strength of the beat there, 0 off the beat;
// and how sure that is.
func (p *pulse) of(at time.Duration) (quarters float64, level int, sure float64) {
	if quarters, level, sure = p.find(at); p.fault != nil {
		return expr.Unknown, 0, 0
	}
	return quarters, level, sure
}

func (p *pulse) find(at time.Duration) (quarters float64, level int, sure float64) {
	if p.fault != nil {
		return
	}
	defer expr.Lose(&p.fault, expr.OfBeat)
	heard := p.tracker.Beat(at)
	quarters, sure, clocked := p.clock.Beat(at)
	if !clocked {
		if heard.Period == 0 {
			return expr.Unknown, 0, 0
		}
		quarters, sure = heard.Quarter, heard.Sure
	}
	if _, off := nearest(quarters); off > onBeat {
		return quarters, 0, sure
	}
	level = 1
	if heard.BarSure < sureBar || heard.BeatsInBar == 0 {
		return quarters, level, sure
	}
	in, off := nearest(heard.InBar)
	if off <= onBeat && (in == 1 || in == float64(heard.BeatsInBar+1)) { // else the clock has another beat than is heard
		level, sure = 2, min(sure, heard.BarSure)
	}
	return quarters, level, sure
}

// Beat is where the beat is, without a score.
type Beat struct {
	By       string  // "clock" or "ear"; "" if it is not known
	Quarters float64 // by the clock quarter notes since the song's start, by ear beats since the first note
	PerMin   float64 // beats a minute; 0 if that is not known
	Sure     float64 // 0..1
}

// tell tells where the beat is at a time.
func (p *pulse) tell(at time.Duration) Beat {
	if p.fault != nil {
		return Beat{}
	}
	defer expr.Lose(&p.fault, expr.OfBeat)
	heard := p.tracker.Beat(at)
	if quarters, sure, ok := p.clock.Beat(at); ok {
		tempo, _ := p.clock.Tempo(at)
		return Beat{By: "clock", Quarters: quarters, PerMin: tempo, Sure: sure}
	}
	if heard.Period == 0 {
		return Beat{}
	}
	return Beat{By: "ear", Quarters: heard.Quarter, PerMin: time.Minute.Seconds() / heard.Period.Seconds(), Sure: heard.Sure}
}

// nearest is the nearest whole number, and how far off it is.
func nearest(x float64) (whole, off float64) {
	whole = math.Round(x)
	return whole, math.Abs(x - whole)
}
