package perform

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/expr/habits"
)

// Manner is how a piece is performed, apart from who plays. The zero Manner knows
// nothing of what comes, and plays with all habits in steady time.
type Manner struct {
	Scored    bool          // a file is played by its own score: what follows is known
	Piece     *expr.Score   // what is written over a file's notes, if a score beside it says; only where Scored
	Lookahead time.Duration // by which live playing is delayed; a file only gains what it lets the players know
	Only      []string      // names of the habits to play by; nil: all of them
	Without   []string      // names of habits to leave out
	Seed      uint64        // of all that varies from one performance to the next
	Rubato    float64       // amount of the ensemble's rubato: 0 off, 1 normal, up to 2
	Tempos    bool          // a file has its rubato written as tempos, and not as shifts of the notes; it is known only of a score
	Free      bool          // the rubato of a file whose score is known goes as far as players go, as nobody else keeps the beat; else live's bounds hold
	GiveBack  bool          // at the end of a file the controllers go back to where they were, so that it lasts a little longer
	Clocked   bool          // rubato even where hardware follows a clock

	Trial expr.Trial `json:"-"` // for tests: what fails
}

// CheckLookahead refuses a lookahead that cannot be had.
func CheckLookahead(l time.Duration) error {
	if l < 0 || l > engine.MaxLookahead {
		return fmt.Errorf("the lookahead is %d ms; it can be 0 to %d ms", l.Milliseconds(), engine.MaxLookahead.Milliseconds())
	}
	return nil
}

// Habits are the manner's habits among all. A name that no habit has is an error that lists
// the names.
func (m *Manner) Habits(all []expr.Habit) ([]expr.Habit, error) {
	chosen, unknown := habits.Choose(all, m.Only, m.Without)
	if unknown != "" {
		return nil, fmt.Errorf("there is no habit %q; the habits are: %s", unknown, habits.Names(all))
	}
	return chosen, nil
}
