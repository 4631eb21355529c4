// Package expr has the words that all its rooms share, and no engine: an [Event] at the door,
// the [Note] with its [Context], which says what is known of the music around it, the [Gesture]
// that the habits of players make of it, the [Habit] itself, the [Profile] of an instrument with
// the [Curve]s by which its sampler answers, the [Score] of a piece.
//
// A note gets its gesture in physical units: level in dB re the instrument's mf, vibrato in cents
// and Hz, times. Only in the engine is that turned into velocities and controllers, by inverting
// what the profile says of the sampler.
//
// The rooms: package hearing makes the context of notes, package habits shapes their gestures, package
// engine drives both and makes messages, package meter reads them back. Beside them lies one
// science a package. None of them has a clock, starts a goroutine, or opens anything; times are
// durations since a performance's start.
package expr
