// Package lock fixes the profiles of a piece, so that an old mock-up sounds the
// same next year. The calls that matter are [Make] and [Read].
//
// A lock, swellbox.lock, is one YAML file that depends on nothing else: it holds the
// whole text of every document that the piece's parts are played from, the built-in
// ones too, each with its SHA-256, and the seating with a seat for every part,
// also those whose profile had been guessed. What it cannot hold is the program: it
// says which version and revision made it, and with which libraries.
package lock
