package engine

import (
	"time"

	"swellbox/expr"
)

// DefaultControlPeriod is the default of [Config.ControlPeriod].
const DefaultControlPeriod = 20 * time.Millisecond

// Config is what an engine is made with. Its zero value works: one port, both
// sides, nobody shapes anything.
type Config struct {
	Ports         int           // how many ports of 16 channels; 0 means 1
	Sides         expr.Side     // which performances to emit; 0 means both
	ControlPeriod time.Duration // between two steps of a moving controller, and twice those of a vibrato drawn with bends; 0 means 20 ms
	Habits        []expr.Habit  // that players have, in the order in which they apply; none: everything plays raw
	Place         expr.Place    // in which all channels begin
	Lookahead     time.Duration // by which everything sounds later than it comes in, so that habits know what follows: 0..MaxLookahead

	// Auditions says that single notes, tried or typed while the transport stands, sound
	// at once in spite of the lookahead.
	Auditions bool

	Rubato  float64 // amount of the ensemble's rubato: 0 off, 1 normal, up to 2; it needs lookahead
	Clocked bool    // rubato even while a MIDI clock goes by, which hardware may follow
	Seed    uint64  // of all that varies from one performance to the next

	Trial expr.Trial // for tests: what fails

	// HeadroomDB is how far under the raw performance the shaped one puts mf, so
	// that brass and swells have room to grow and nothing clips: 0..24.
	HeadroomDB float64
	// CeilingDB is how far above its raw level a note may ever come: 0..6.
	CeilingDB float64
}

// MaxLookahead is the longest lookahead.
const MaxLookahead = 3 * time.Second
