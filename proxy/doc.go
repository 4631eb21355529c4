// Package proxy stands between the notation program and the sample player: it
// moves messages, chooses between the raw and the shaped performance, and keeps
// account of every sounding note.
//
// [Performance] joins an engine of package expr with a [desk] that chooses, channel
// by channel, which side reaches the port. It has no clock either; [Render] drives
// it from a file and [Daemon] from the monotonic clock, so that a render and a live
// run of the same input give the same messages. Ports are behind the small
// interfaces [System], [In] and [Out]; package rtmidi has the real ones.
//
// The package makes no musical decision.
package proxy
