// Package nuance says how much louder or softer than its dynamic a pianist plays a note, for
// what it is among the notes around it: the tune or a voice within, on a peak or in a fall, in
// a chord, quick or long, on the beat, at an end, under a mark. What it says was fitted to
// what players did, and is the sum of a few habits, each of which can be taken or left.
//
// A [Scene] takes the notes of one part as they come, or a whole score at once.
// [Scene.Touch] gives for each [expr.TouchHabit] what it adds to a note, in dB. The same code gives the
// terms to the fit ([Scene.Terms]), so that what was fitted is what is played.
//
// # Foreknowledge
//
// The terms of a note are made of the notes that the scene holds, at the time of asking:
// without foreknowledge those before it, with a lookahead also those within it, and with a
// score all of them. Each grade has coefficients of its own (table.go), for the same term
// means more or less where others are missing.
//
// # What it rests on
//
// An additive model: level = Σ coefficient · term, by ridge regression on what players did,
// each piece counting the same, chosen and judged by leaving works out. The corpora, the
// agreement reached and the standard errors stand at the head of the tables, which the command
// "make fit DATA=DIR" writes.
//
// Times are since the start of whatever the caller counts from. The package allocates nothing
// for a note once a scene is warm.
package nuance
