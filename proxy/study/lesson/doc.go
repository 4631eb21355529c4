// Package lesson makes one page of some bars of a piece, for a teacher to send to students: the same bars
// as several takes, equally loud, to change between while they sound; a drawing of the notes and of what the
// players do with them; who is heard in a hall; what to listen for; and the teacher's own words.
//
// The page is a single file that needs no network and no server: sound, script and drawings are in it.
//
// All takes keep the tempo of the file, with no rubato, so that a change between them stays at its place in
// the music. The sound is the demonstration synthesiser's, and the page says so.
package lesson
