// Package names knows who plays a part: from its name, as scores print it in English, Italian,
// German, French and Spanish, from its General MIDI program and from its place in the score
// to a profile and a number of players.
//
// A [Register] is made of what the documents of the profiles say of their instruments;
// [Register.Suppose] looks a part up in it. What belongs to no one instrument is here: the
// words for soloists, halves and desks, and how a name and its numbers are read.
package names
