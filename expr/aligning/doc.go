// Package aligning finds, note by note, which note of a score each note of a whole
// performance is: a take that somebody played on a keyboard, or a file that the notation
// program exported. It has the whole performance before it, so it is surer than package
// following, which hears it as it goes by.
//
// [Align] is the call. Wrong notes, left-out notes, trills, chords that are spread, repeats
// taken or not, cuts and sections begun anew are found; what belongs to no note of the score
// is [None].
//
// # Method
//
// The moments of the score are the states of a hidden Markov model, and the notes of the
// performance are heard one by one (the family of models of Nakamura, Ono, Sagayama and
// Watanabe, "A Stochastic Temporal Model of Polyphonic MIDI Performance with Ornaments",
// J. New Music Research 44, 2015). The likeliest path is found with a beam (path.go); then
// notes are told apart within it, and stragglers are matched by time (match.go). The costs
// are nats and are ours: testdata and the corpora that the yardstick names are what they
// were judged by.
//
// Given the same notes, the answer is the same. Nothing here knows units of time: the
// score's may be quarter notes, and the performance's are seconds.
package aligning

// None stands for a note that is none of the score's.
const None = -1

// Note is a note of the score or of the performance. Both lists are in the order of At.
type Note struct {
	At   float64 // score: quarter notes; performance: seconds
	Key  uint8   // MIDI note
	Part uint16  // of two notes alike, the one is taken whose part goes with the performance's
}
