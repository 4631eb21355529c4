// Package pedalling plans a player's foot (or, on the harp, the damping hands) for one
// part: when what rings on is let go, and when it is caught again.
//
// A [Planner] is told of notes as they sound, in the order of time, with [Planner.Note]
// and [Planner.Off]; [Planner.Next] says when it next has something to do, and
// [Planner.Pull] gives what is due: a time and a depth, 1 down, 0.5 half, 0 up. It has
// no clock and no MIDI numbers. The same calls give the same actions, however
// often it is pulled, as long as what happens at a time is told before that time is pulled.
//
// What the foot follows:
//
//   - Harmony. A chord whose tonal centroid lies further than a threshold from the
//     harmony under the pedal is a new harmony; an added seventh is not. A broken chord is
//     one as soon as two of its notes are foreign to the old harmony and make a chord of thirds.
//   - The bass. Its step is a change, and so is its leap to a foreign note that no finger
//     held below it contradicts.
//   - Roughness. A foreign note a step from one that only the pedal holds is a blur where
//     the pair is rough enough, which by nature is low and in the middle; notes of the
//     harmony may be far rougher, but not as rough as a third at the bottom of the keyboard.
//   - Melody over a chord. If only the pedal holds the chord, the tune's passing notes
//     are put up with to twice that roughness, with a half pedal if there is one. If fingers hold the
//     chord, the foot changes with the step: the chord loses nothing.
//   - Staccato, runs of quick steps, and rests longer than a beat have no pedal.
//
// A line without chords gets pedal only on long notes or as a broken chord. The foot needs
// 60 ms between two movements, and never stays down: once no finger is down it comes
// up after a beat, or after two seconds on the harp.
//
// That is what it does by itself. A piano's is advised ([Planner.Advise]): package foot says of a score, and an
// [Ear] of what has sounded, whether the feet of pianists were down at such notes and after them,
// which was fitted to them (table.go). The advice rules, but for a chord that would run into
// another and be muddy. Of a score two things are foreseen: for how much of a piece the foot is down, by all pieces, and
// at which of its moments rather than others, by what players do within a piece.
//
// Only notes heard are needed; known lengths make the foot surer: it comes up with the
// last note before a known rest, and does not go down on what is too short.
package pedalling
