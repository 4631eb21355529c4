package engine

import (
	"swellbox/expr"
	"swellbox/expr/channels"
)

// incoming is what the notation program has said. It is followed whether or not the
// part is seated, as set-ups often come before anything tells what plays.
type incoming struct {
	channels.State
	moves [2]uint64 // the controllers that it moves, or will
	pedal bool      // it is down, and no silence has lifted it
}

// follow keeps what the notation program says of a controller.
func (in *incoming) follow(number, value int) {
	in.Control(number, value)
	if value != expr.Rest(number) {
		in.take(number)
	}
}

// take notes that the notation program moves a controller.
func (in *incoming) take(number int) { in.moves[number/64] |= 1 << (number % 64) }

// has reports whether the notation program moves a controller.
func (in *incoming) has(c *expr.Control) bool {
	taken := func(n int) bool { return in.moves[n/64]>>(n%64)&1 != 0 }
	return taken(c.Number) || c.Number < 32 && taken(c.Number+32)
}

// steps is where the notation program has a controller, in the controller's
// own steps; 0 if it has said nothing.
func (in *incoming) steps(c *expr.Control) int {
	v, _ := in.Fine(c.Number)
	if c.Fine {
		return v
	}
	return v >> 7
}

// bendRange is how far the notation program has set the bend to reach, semitones each way; 0 if it
// has not.
func (in *incoming) bendRange() float64 {
	if semitones, said := in.Semitones(); said {
		return semitones
	}
	return 0
}
