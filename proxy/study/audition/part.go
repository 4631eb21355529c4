package audition

import (
	"fmt"
	"math"
	"time"
)

// SampleRate is the number of frames a second of everything here.
const SampleRate = 48000

// maxParts bounds what Render takes: a port has 16 channels; sixteen full ports.
const maxParts = 256

// MaxLength is the longest take of Render: 460 MB of samples.
const MaxLength = 20 * time.Minute

// Part is one line of the stage plan: which channel is heard as which instrument.
type Part struct {
	Port, Channel int     // 0-based, as in expr.Event
	Instrument    string  // what it sounds like, "violin", "horn"; of a profile's name or of any other the nearest sound is taken
	Family        string  // a profile's family, used where the name says nothing
	Players       int     // how many players a sustained sound stands for; 0 and 1 are a soloist
	Pan           float64 // -1 left … +1 right, equal power
}

// check reports the first part that cannot be played.
func check(parts []Part) error {
	if len(parts) > maxParts {
		return fmt.Errorf("found %d parts, at most %d can be rendered", len(parts), maxParts)
	}
	taken := map[[2]int]int{}
	for i, p := range parts {
		switch {
		case p.Channel < 0 || p.Channel > 15:
			return fmt.Errorf("part %d (%s): the channel must be 0 to 15, found %d", i+1, p.Instrument, p.Channel)
		case p.Port < 0 || p.Port > math.MaxUint16:
			return fmt.Errorf("part %d (%s): the port must be 0 to %d, found %d", i+1, p.Instrument, math.MaxUint16, p.Port)
		case p.Players < 0:
			return fmt.Errorf("part %d (%s): the number of players must not be negative, found %d", i+1, p.Instrument, p.Players)
		case !(p.Pan >= -1 && p.Pan <= 1):
			return fmt.Errorf("part %d (%s): the pan must be -1 to 1, found %g", i+1, p.Instrument, p.Pan)
		}
		at := [2]int{p.Port, p.Channel}
		if j, ok := taken[at]; ok {
			return fmt.Errorf("parts %d and %d share port %d, channel %d; give each its own", j, i+1, p.Port, p.Channel)
		}
		taken[at] = i + 1
	}
	return nil
}
