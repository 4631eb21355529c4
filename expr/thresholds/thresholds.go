// Package thresholds has the times within which things count as together: one source for all
// rooms, each time with the reason why it is not one of the others. All are ours, not published,
// where nothing else is said.
package thresholds

import "time"

const (
	// Wire is for what is sent at one time: the parts of a chord come one after the other on a cable
	// that carries a note in 1 ms (MIDI 1.0, at 31,250 baud).
	Wire = 10 * time.Millisecond

	// Onset is for notes that are written at one time, or struck as one by one hand: a file's ticks
	// and a tempo's rounding are far less, the quickest repetition is more. The sizes of nuance were
	// fitted with it, and must be fitted anew when it changes.
	Onset = 30 * time.Millisecond

	// Foot is for the notes of a chord as a foot takes them: by Chord it would take the quickest
	// steps of a scale for one, and hold them.
	Foot = 45 * time.Millisecond

	// Chord is for notes that somebody plays as one chord: live hands spread them, and a second note
	// of a melody never comes so soon. Less would make a melody of a spread chord.
	Chord = 50 * time.Millisecond

	// Shaped is for a chord after players were given a time of their own: by Chord one whose
	// ends were moved would fall apart.
	Shaped = 60 * time.Millisecond

	// Phrases is for lines that begin their phrases together: each may have an upbeat's grace.
	Phrases = 100 * time.Millisecond

	// Overlap is for two notes of a slurred line that sound together: longer ones are two voices.
	Overlap = 100 * time.Millisecond

	// Joint is for the end of a note and the start of the next under a slur: a tick, rounded.
	Joint = time.Millisecond
)
