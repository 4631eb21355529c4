// Package players holds what swellbox plays against what real players played, note by note.
//
// [ReadPiece] reads the alignments of one piece (package match) from a folder; [Piece.Flat] is the
// piece as a notation program exports it without dynamics: one tempo, one velocity;
// [Piece.Render] has it performed; [Piece.Compare] tells how much that agrees with each player,
// and how much the players agree with each other, which is as far as a performance that is
// none of them can come.
//
// The agreements:
//
//	level   correlation of velocities, note by note
//	top     the same over the highest note of each moment only
//	tempo   correlation of the logarithms of beat durations
//	length  correlation of log (sounding length / written length at the local tempo)
//	pedal   Cohen's kappa of "the pedal is down" on a grid of quarters of a beat
//
// The corpora are not part of this project: their licences allow research. Where they are
// published: the Vienna 4x22 Piano Corpus (Goebl 1999), the Batik-plays-Mozart Corpus (Hu and Widmer
// 2023, arXiv 2309.02399), (n)ASAP (Foscarin et al., ISMIR 2020; Peter et al. 2023).
package players
