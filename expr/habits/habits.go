package habits

import (
	"swellbox/expr"
	"swellbox/expr/acoustics"
)

// Usual are the rules of every part, in the order in which they apply, in
// the usual place. They serve one engine.
func Usual() []expr.Habit { return In(UsualPlace()) }

// In are the standard rules in a place.
func In(place acoustics.Place) []expr.Habit {
	return []expr.Habit{
		Marks{},
		Articulation{}, QuickNotes{}, ColourNotes{}, Breath{}, // lengths, each going by what the one before made of it
		Phrase{}, RiseAndFall{}, Accent{}, Metre{}, Voicing{}, StepBack{},
		NewOrchestraWeight(place),
		Hairpin{}, LongNote{}, Swelling{}, // one of them at a time moves a note's level
		Vibrato{},
		Pedal{}, Together{}, Rubato{},
	}
}
