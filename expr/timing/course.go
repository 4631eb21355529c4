package timing

import "time"

// LastRitard is how long the last ritard is: about two bars. Ours, not published.
const LastRitard = 4 * time.Second

// Course is how a piece goes, as far as the tempo of a whole ensemble follows it.
type Course struct {
	Phrases []Phrase      // of the whole ensemble
	Beats   []Beat        // as players take them; none where nobody can tell
	Last    time.Duration // the onset of the last note
	Slows   bool          // the written tempo slows down to it
}
