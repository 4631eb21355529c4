// Package learn fits the amounts of a player's habits to takes: a passage that somebody played
// on a keyboard, or any performance as MIDI.
//
// [Takes] is the call. Each take is aligned with the score note by note (package aligning); the
// piece is performed with all habits, and once more without each; what a habit moves in levels,
// lengths, the tempo and the pedal is what its amount is fitted by, towards the take and not far
// from 1, which is how players were measured. Few notes say little, so they move an amount little.
//
// What is learnt is of one instrument: that of the score's one part, or of the part that is named.
package learn
