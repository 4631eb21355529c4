// Package proxy is the house between the notation program and the sampler. Its rooms are
//
//   - perform: an engine, the desk behind it, and who plays: raw or shaped, and an account of
//     every sounding note. Pure: driven, without a clock.
//   - offline: files and scores in, files out, as fast as the processor goes.
//   - live: the daemon among its ports, and the player of files, on the monotonic clock.
//   - control: how a running daemon is steered, from another process.
//   - ports: what a driver of MIDI ports has to do; its drivers stand in folders below.
//   - formats, layout, share and study: files and bytes, terminals, packages, and what is
//     measured and learnt.
//
// Rooms import one another one way: control, live, offline, perform. None makes a musical
// decision: those are the engine's and the habits', in package expr.
package proxy
