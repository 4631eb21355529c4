// Package ornament plays out the signs of ornaments that stand over one note or lead to the next, as notation
// programs and players do: trills, mordents, turns, rolled chords, glissandi, and the repeated and alternating notes of
// tremolos.
//
// What a sign means differs by time and place. The shapes are those that the tables of ornaments
// from the 18th century to today have in common (common practice, no single published source);
// what a score says beyond the sign goes before them. How fast is stated beside each constant.
package ornament
