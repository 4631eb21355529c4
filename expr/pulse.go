package expr

import (
	"math"
	"time"

	"swellbox/expr/beat"
)

// pulse is where the beat is, by the clock that comes in or by what is heard.
type pulse struct {
	clock   beat.Clock
	tracker beat.Tracker
}

// onBeat is how far from a beat, as a share of it, a note is on it still. Ours.
const onBeat = 1. / 32

// sureBar is how sure the bar must be for its strong beats to be told. Ours.
const sureBar = 0.5

// of is where a time lies: quarter notes since the piece's start where a clock tells
// them, else beats since the first note; the strength of the beat there, 0 off the beat;
// and how sure that is.
func (p *pulse) of(at time.Duration) (quarters float64, level int, sure float64) {
	heard := p.tracker.Beat(at)
	quarters, sure, clocked := p.clock.Beat(at)
	if !clocked {
		if heard.Period == 0 {
			return Unknown, 0, 0
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
	switch {
	case off > onBeat: // the clock has another beat than is heard
	case in == 1 || in == float64(heard.BeatsInBar+1):
		level, sure = 3, min(sure, heard.BarSure)
	case heard.BeatsInBar == 4 && in == 3:
		level, sure = 2, min(sure, heard.BarSure)
	}
	return quarters, level, sure
}

// nearest is the nearest whole number, and how far off it is.
func nearest(x float64) (whole, off float64) {
	whole = math.Round(x)
	return whole, math.Abs(x - whole)
}
