// Package voices finds out who has the tune: which of the notes that sound together on
// one channel belong to one voice, which of those voices leads, and which of an
// ensemble's parts does.
//
// A [Separator] takes the notes of one polyphonic channel and tells for each its voice,
// its hand and its role. An [Ensemble] takes the notes of all parts and tells how
// salient each part is. Both are told the time and have no clock; the same notes give
// the same answers. Neither allocates once it is made.
//
// # Time
//
// Notes that start within 50 ms are one moment. A moment is open until the next begins
// or the caller settles it; what was said of its notes may be revised until then. All
// other time is measured in paces: running means of the time from moment to moment.
// So the same music twice as fast gives the same answers. Pitch is likewise measured
// from the music itself, so that transposed music does too; only the first guess of
// which hand plays what starts from the middle of the keyboard.
//
// A caller who knows what comes may feed notes before they sound. The answers are of
// the latest note that was fed, so a quarter of a second ahead helps where two seconds
// would announce the next tune too early.
//
// # What it rests on
//
// The principles are published, all cited here from memory:
//
//   - Voices move by small intervals, stay apart, rarely cross, and part-crossing is
//     avoided by composers (Huron 2001, Music Perception 19, 1-64).
//   - Notes that start and end together tend to fuse into one stream (Cambouropoulos
//     2008, Music Perception 26, 75-94): voices here are single notes, and the hands
//     stand for the streams.
//   - The top voice is most often the tune (Uitdenbogerd and Zobel 1998), but the least
//     predictable line beats it as a guess (Madsen and Widmer 2007).
//   - Steps outnumber leaps in melodies (Vos and Troost 1989, Music Perception 6,
//     383-396).
//
// How these are made into numbers, the weights, and the thresholds are ours, not
// published.
package voices
