package expr

import (
	"time"

	"swellbox/expr/acoustics"
)

// Rule is one habit of players. It adds to the gesture of a note at the note's
// start, by the quantity k that the note's profile gives it, and reports whether
// it did anything. A rule keeps nothing of a note: one value serves all parts of an engine.
type Rule interface {
	Name() string
	Shape(n *Note, g *Gesture) bool
}

// Note is what a rule may know of a note at its start.
type Note struct {
	Profile  *Profile
	Players  int           // how many play it
	On       time.Duration // since the engine's start
	Key      uint8         // MIDI note
	Velocity uint8         // as it came in, 1..127
	Slurred  bool          // joined to the note before it, which has another pitch

	WrittenDB float64 // the written dynamic, dB re mf, by the profile's reading
	RawDB     float64 // what the raw note would sound at, dB re full
	MfDB      float64 // where the shaped performance puts this instrument's mf, dB re full

	Context // what is known of the music around it
}

// StandardRules are the rules of every part, in the order in which they apply, in
// the usual place. They serve one engine.
func StandardRules() []Rule { return RulesIn(UsualPlace()) }

// RulesIn are the standard rules in a place.
func RulesIn(place acoustics.Place) []Rule {
	return []Rule{
		Expression{},
		Touch{}, Contrast{}, Charge{}, Breathing{}, // lengths, each going by what the one before made of it
		Phrasing{}, HighLoud{}, MelodicAccent{}, Metre{}, Voicing{}, Yielding{},
		NewWeight(place),
		Hairpin{}, LongNote{}, Swelling{}, // one of them at a time moves a note's level
		StringVibrato{},
		Pedalling{}, Microtiming{}, Rubato{},
	}
}
