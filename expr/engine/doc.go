// Package engine drives a performance: events go in by [Engine.Push], and what is to be sent comes
// out by [Engine.Pull]; [Engine.Next] says when there is more. It has no clock.
//
// What there is, from the inside out; each knows only what stands above it:
//
//   - output, schedule, ahead, delay: what is due, what waits for its time, and by how much
//   - ensemble: these and all else that parts share; input: an event in hand
//   - sampler: one channel, as the notation program has it and as it was told; level, vibrato
//   - notes: what sounds, from the start of a note to its end, which may be pending
//   - pedal: the player's own foot; shaping: the habits at work on one note
//   - part: one channel with all of these; start, control and losing are what happens to it
//   - timekeeping: when the players play; sequence: whether the music runs
//   - conductor: does what is due in its turn; Engine: what others ask for
package engine
