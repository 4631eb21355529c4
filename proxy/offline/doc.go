// Package offline plays files: a [Timeline] is a file as the events that it plays, and [Render]
// drives a stage of package perform through it and lays the performance out as a file of the
// same tracks.
//
// [ReadPiece] reads what is to be played and [ReadScore] what is known of it; [Timeline.Known]
// joins the two. [GuessParts] says who plays, and [SeatingText] writes it down.
//
// The package has no clock, goroutine or port, and makes no musical decision.
package offline
