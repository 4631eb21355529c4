// Package following finds, note by note, where a live stream of notes is in a score
// that is known beforehand, as the piece is played back from anywhere, with jumps,
// loops, another tempo, notes that have been changed since the export, parts muted and
// channels that are not the export's.
//
// [New] prepares a score; [Follower.Note] takes each note that begins and says which of
// the score's it is, or that this is not sure, when the caller does without foreknowledge:
// a wrong match is worse than none. [Follower.Position] says where the music is.
//
// # Method
//
// A few hypotheses are kept, each a place in the score and a tempo, with the evidence for it in
// nats, against other music on the same channels (hypothesis.go). A note is evidence by
// how rare its key is in the part, by how well its channel is known to play that part,
// and by its time. A note that the score does not have, and one of the score that is
// not heard, speak against a hypothesis, the latter less where the part may be muted.
// Where the hypotheses explain nothing or are not sure, the last six notes are looked
// up in the whole score, first at the known tempo, then at any (seek.go). Hence what
// is told is a probability, and places that cannot be told apart share it.
//
// # What it decides where the notes do not
//
// Going on is likelier than a jump: one note in 300 begins one. After a jump, bar lines
// are likelier places than others, and near places slightly likelier than far ones;
// [Follower.Locate] outweighs both. Places before the same music, such as repeats, count
// as one for [Match.Sure], as what follows does not differ for at least two seconds,
// and so do, for [Position.Sure], the times through a passage of which the bars are printed
// once. While little of the music is foretold, it may be
// another piece that has a bar in common with the score: then a place has to stand for
// 24 notes and five seconds before a match is told.
//
// # Files
//
// stream.go has the notes heard last, index.go and page.go the score, by note and by bar; ground.go joins
// to it what is learnt of channels, muted parts and the hand that plays. A hypothesis.go is
// weighed by that ground, beam.go weighs all against each other, seek.go and lane.go look for
// more of them, expected.go says where, and match.go and position.go tell what came out.
//
// Times are seconds of the score or of the live stream, and a ratio is live by written
// tempo. Given the same calls, the answers are the same. A Follower is for one
// goroutine. Transposed exports are not followed.
package following
