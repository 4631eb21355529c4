// Package habits has what players do, one habit a file. Each says all about itself (see
// [expr.About]); this file is the list, and all that is known of habits elsewhere is made of it.
package habits

import (
	"slices"
	"strings"

	"swellbox/expr"
	"swellbox/expr/acoustics"
)

// all are the habits of every part, in the order in which they apply. To add one, write its
// file and put it in its place here.
var all = slices.Concat([]expr.Habit{
	Marks{},
	Articulation{}, QuickNotes{}, ColourNotes{}, Breath{}, // lengths, each going by what the one before made of it
	Phrase{}, RiseAndFall{}, Accent{}, Metre{}, Voicing{}, StepBack{},
}, touches(), []expr.Habit{
	&OrchestraWeight{},
	Hairpin{}, Bow{}, Bloom{}, // one of them at a time moves a note's level
	Vibrato{},
	Pedal{}, Together{}, Rubato{},
})

// placed is a habit that depends on where the players sit.
type placed interface {
	In(place acoustics.Place) expr.Habit
}

// All are what there is to know of all habits, in the order in which they apply.
func All() []*expr.About {
	abouts := make([]*expr.About, len(all))
	for i, h := range all {
		abouts[i] = h.About()
	}
	return abouts
}

// Named is the habit of a name on the command line; nil if none has it.
func Named(name string) *expr.About {
	for _, h := range all {
		if about := h.About(); about.Flag() == name {
			return about
		}
	}
	return nil
}

// Usual are all habits in the usual place. They serve one engine.
func Usual() []expr.Habit { return In(UsualPlace()) }

// In are all habits in a place. They serve one engine.
func In(place acoustics.Place) []expr.Habit {
	in := slices.Clone(all)
	for i, h := range in {
		if h, ok := h.(placed); ok {
			in[i] = h.In(place)
		}
	}
	return in
}

// Choose are those of some habits that are named, or all of them if names is nil, but for those
// that are left out. Names are as on the command line. One that no habit has is returned as unknown.
func Choose(from []expr.Habit, names, without []string) (chosen []expr.Habit, unknown string) {
	for _, name := range slices.Concat(names, without) {
		if !slices.ContainsFunc(from, func(h expr.Habit) bool { return h.About().Flag() == name }) {
			return nil, name
		}
	}
	chosen = []expr.Habit{}
	for _, h := range from {
		name := h.About().Flag()
		if (names == nil || slices.Contains(names, name)) && !slices.Contains(without, name) {
			chosen = append(chosen, h)
		}
	}
	return chosen, ""
}

// Names are the names of some habits on the command line, with commas between them.
func Names(of []expr.Habit) string {
	names := make([]string, len(of))
	for i, h := range of {
		names[i] = h.About().Flag()
	}
	return strings.Join(names, ", ")
}
