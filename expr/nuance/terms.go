package nuance

import "swellbox/expr"

// group is the terms of a habit: their names, and what computes them.
type group struct {
	habit expr.TouchHabit
	names []string
	terms func(v *view, t *sink)
}

var groups = [expr.TouchHabits]group{
	{expr.TopLine, topNames, (*view).topLine},
	{expr.BassLine, bassNames, (*view).bassLine},
	{expr.Height, heightNames, (*view).height},
	{expr.Fullness, fullNames, (*view).fullness},
	{expr.Density, denseNames, (*view).density},
	{expr.NoteLength, lengthNames, (*view).noteLength},
	{expr.BarWeight, barNames, (*view).barWeight},
	{expr.Endings, endNames, (*view).endings},
	{expr.Novelty, novelNames, (*view).novelty},
	{expr.TwoHands, handNames, (*view).twoHands},
	{expr.WrittenLevel, levelNames, (*view).writtenLevel},
	{expr.WrittenSigns, signNames, (*view).writtenSigns},
}

// NumTerms is how many terms a note has.
var NumTerms = func() (n int) {
	for _, g := range groups {
		n += len(g.names)
	}
	return n
}()

// Terms computes the terms of a note by its number, as far as the scene knows what is around
// it, in the order of [Names]. to has room for [NumTerms].
func (s *Scene) Terms(number int64, known Known, to []float64) {
	s.view.look(s, int(number-s.dropped), known)
	t := sink{to: to}
	for k := range groups {
		groups[k].terms(&s.view, &t)
	}
}

// Names are the names of the terms.
func Names() (names []string) {
	for _, g := range groups {
		names = append(names, g.names...)
	}
	return names
}

// HabitOf is the habit that a term belongs to.
func HabitOf(term int) expr.TouchHabit {
	for _, g := range groups {
		if term -= len(g.names); term < 0 {
			return g.habit
		}
	}
	return expr.TouchHabits
}
