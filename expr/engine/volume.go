package engine

import (
	"math"

	"swellbox/expr"
)

// volume is the channel volume where it carries by how much louder than others a part was measured
// to be. It stands still while the part plays, so that the level controller, which moves, is left
// near its fine steps.
type volume struct {
	sent int     // in the controller's own numbers; Unknown while it is the notation program's
	db   float64 // what it adds to the notation program's, dB
}

// moves reports whether the volume is ours to move on a channel.
func (v *volume) moves(s *sampler) bool { return s.shaped && s.measured.ByVolume }

// send has the volume make up for the part's level, as far as it goes, over what the notation
// program has it be.
func (v *volume) send(s *sampler) {
	if !v.moves(s) {
		return
	}
	said := s.in.Told(expr.CCVolume)
	if said == 0 {
		v.say(s, 0)
		return
	}
	// 1 to 127 by 40·log10: General MIDI 2.
	ours := min(max(math.Round(float64(said)*math.Pow(10, -s.measured.LevelDB/40)), 1), 127)
	v.db = 40 * math.Log10(ours/float64(said))
	v.say(s, int(ours))
}

func (v *volume) say(s *sampler, value int) {
	if value != v.sent {
		v.sent = value
		s.send(0xB0, expr.CCVolume, byte(value))
	}
}

// giveBack leaves the volume as it came in.
func (v *volume) giveBack(s *sampler) {
	if v.sent != expr.Unknown {
		v.say(s, s.in.Told(expr.CCVolume))
		v.sent, v.db = expr.Unknown, 0
	}
}
