// Package listening is what a listener makes of notes: where a line is parted
// ([Boundaries], [Line]), which of its notes stand out ([MelodicAccent],
// [DurationAccent]), which harmony and key are heard ([Chroma], [Root], [Key]), how
// rough it sounds ([Roughness]), where the beats are strong ([BeatLevel]), and when
// a hammer reaches its string ([Lead]).
//
// It is formulas from the literature on plain numbers: MIDI notes (60 is C4), pitch
// classes (0 is C), durations, Hz. It knows nothing of parts, profiles or habits. All of it is
// deterministic, and what is fed note by note ([Line], [Chroma], [KeyFinder]) is a small value
// that allocates nothing and whose zero value is ready.
//
// Every formula says where it comes from. "As quoted in secondary texts" means that
// the paper itself was not read, but several texts that quote it agree; "from memory" that
// the figure has not been looked up; "ours" that nobody published it.
package listening

// Unknown stands for a key, a pitch class or a time that nobody can know yet, or that
// there is none of.
const Unknown = -1

// pitchClass is the pitch class of a key or of a sum of pitch classes, 0..11.
func pitchClass(key int) int { return (key%12 + 12) % 12 }
