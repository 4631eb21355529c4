// Package live plays in real time: a [Daemon] takes messages from its inputs, or from a
// [Player] of a file, runs a stage of package perform on them by the monotonic clock, and sends
// what comes out.
//
// [NewDaemon] opens the ports, [Daemon.Close] leaves all as it was; [Daemon.Status] tells
// everything there is to know between the two, and [Daemon.Follow] takes what is saved
// meanwhile. A port that goes away is waited for and brought to the present state; an engine
// that fails is bypassed. The music never stops for either.
//
// The package does not know the drivers behind its ports nor who steers it, and makes no
// musical decision.
package live
