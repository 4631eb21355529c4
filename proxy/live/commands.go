package live

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
)

// Switch chooses the side that the named parts play from now on, or all parts
// if none is named. Names are those of the status, upper and lower case alike. An
// unknown name is an error that lists the known ones, and then nothing is switched. A
// daemon whose engine has failed plays raw and cannot be switched.
func (d *Daemon) Switch(side expr.Side, names []string) error {
	return orders{d.performance}.switchTo(side, names)
}

// SetPlace has the named parts, or all if none is named, stand as in a hall or in a
// studio from now on. Errors are those of Switch.
func (d *Daemon) SetPlace(place expr.Place, names []string) error {
	return orders{d.performance}.setPlace(place, names)
}

// MaxLookahead is the longest lookahead of a daemon.
const MaxLookahead = engine.MaxLookahead

// SetLookahead delays all that comes in from now on by so much, 0 to [MaxLookahead]:
// while something sounds, it glides there. A daemon whose engine has failed keeps the
// delay that it had.
func (d *Daemon) SetLookahead(l time.Duration) error { return orders{d.performance}.setLookahead(l) }

// Panic silences every output by every means there is.
func (d *Daemon) Panic() { orders{d.performance}.panicNow() }

// EndNotes ends every sounding note, as at a stop.
func (d *Daemon) EndNotes() { orders{d.performance}.endNotes() }
