// Package beat tells, from what comes in, where the beat and the bar are and whether
// the music plays at all.
//
// A [Clock] counts the MIDI clock, where there is one. A [Tracker] infers beat and bar
// from the onsets of played-back notation, where there is none. A [Transport] says
// whether a sequence runs, or single notes are typed and tried.
//
// All three are state machines without a clock of their own: time is what they are
// told, in [time.Duration] since the engine's start, and what they say follows from
// what came in alone. Times must not decrease; one that does is taken as the latest.
// Nothing is allocated per event. None may be used by two goroutines at once.
package beat
