// Package perform plays music without a clock: it moves messages, chooses between the raw and
// the shaped performance, and keeps account of every sounding note.
//
// A [Performance] is an engine of package expr/engine and the desk behind it, which chooses,
// channel by channel, which side reaches the port. A [Stage] is a performance with its players:
// a [Cast] says who they are, from the seating or by a guess, and a [Manner] how they play. Who
// drives them pushes events ([Stage.Push]), pulls what is due ([Performance.Pull]) and asks when
// more is ([Performance.Next]); so a file and a live run of the same input give the same
// messages.
//
// The package has no clock, goroutine, port, file or log, and makes no musical decision. Its
// methods must not be called concurrently.
package perform
