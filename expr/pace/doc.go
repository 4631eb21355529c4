// Package pace says how players take their time: by how much each beat of a score is longer
// or shorter than it is written.
//
// [Curve] is the common call. A beat's log duration is a sum of terms, each a plain reason to
// take time or to save it: the end of the piece or of a section is near, a rest or a long note
// comes, the bass leaps, a slur begins, a ritardando is written ([Beats.Terms] has them all).
// What a term weighs was fitted to players; table.go has the weights and how sure they are. The
// same code makes the terms for fitting and for playing.
//
// Foreknowledge. Score: all of it. Without a score nobody knows how far the end is, and package
// timing lengthens the ends of phrases that are seen coming.
//
// What it costs is linear in notes and beats, at the time when a score is read.
package pace
