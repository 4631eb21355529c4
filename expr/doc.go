// Package expr turns notes as a notation program plays them into notes as
// players play them.
//
// An [Engine] is driven, it never drives: [Engine.Push] gives it one input event
// with its time, [Engine.Pull] takes every output event due up to a time, and
// [Engine.Next] says when it next has something to say. It has no clock, starts
// no goroutine, and opens nothing; the same input and the same profiles give the
// same output, whether a daemon drives it from a clock or a file is rendered
// as fast as the processor goes.
//
// Each note gets a [Gesture] in physical units: level in dB re the instrument's
// mf, vibrato in cents and Hz, brightness in dB. The [Rule]s add to it, each one
// published habit of players with its quantity k in the [Profile]. Only then is the
// gesture turned into velocities and controllers, by inverting what the profile
// says of the sample player's response.
//
// The engine emits two performances of the same input, raw and shaped, in one
// ordered stream; each event says to which it belongs (see [Side]). Times are
// durations since the engine's start. Once its queues have grown to what the
// music needs, nothing is allocated per event.
package expr
