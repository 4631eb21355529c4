// Package sampler measures what a sampler does with what it is sent: how loud each part is among
// the others, key by key, what velocity and controllers make of that, how late it is heard, and
// what vibrato it has.
//
// [NewPlan] is a probe: a file of notes for every part of a seating, one part after the other, with
// a pattern at both ends by which a recording is found to be one of it. [Fit] takes the recording,
// finds the probe in it, and measures. [Result.Documents] are controller maps for what was found,
// one for each part. [NewTrial] is a file of other notes, raw and shaped, and [Trial.Judge] tells by its
// recording how near the balance is to the model, before and after.
//
// What is not known, as how far the recorder is behind, is told apart from what is: all parts are
// measured against each other, so a gain or a delay that all of them share is of no account.
package sampler
