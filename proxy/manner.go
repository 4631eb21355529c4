package proxy

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
)

// Manner is how a piece is performed, apart from who plays. The zero Manner knows
// nothing of what comes, and plays by all rules in steady time.
type Manner struct {
	Scored    bool          // a file is played by its own score: what follows is known
	Piece     *expr.Score   // what is written over a file's notes, if a score beside it says; only where Scored
	Lookahead time.Duration // by which live playing is delayed; a file only gains what it lets the rules know
	Only      []string      // names of the rules to play by; nil: all of them
	Without   []string      // names of rules to leave out
	Seed      uint64        // of all that varies from one performance to the next
	Rubato    float64       // quantity of the ensemble's rubato: 0 none, 1 as published
	Tempos    bool          // a file has its rubato written as tempos, and not as shifts of the notes; it is known only of a score
	GiveBack  bool          // at the end of a file the controllers go back to where they were, so that it lasts a little longer
	Clocked   bool          // rubato even where hardware follows a clock

	Trial expr.Trial // for tests: what fails
}

// checkLookahead refuses a lookahead that cannot be had.
func checkLookahead(l time.Duration) error {
	if l < 0 || l > engine.MaxLookahead {
		return fmt.Errorf("the lookahead is %d ms; it can be 0 to %d ms", l.Milliseconds(), engine.MaxLookahead.Milliseconds())
	}
	return nil
}

// rules are the manner's rules in the ensemble's place. A name that no rule has is an
// error that lists the names.
func (m *Manner) rules(all []expr.Habit) ([]expr.Habit, error) {
	for _, name := range slices.Concat(m.Only, m.Without) {
		if !slices.ContainsFunc(all, func(r expr.Habit) bool { return r.Name() == name }) {
			names := make([]string, len(all))
			for i, r := range all {
				names[i] = r.Name()
			}
			return nil, fmt.Errorf("there is no rule %q; the rules are: %s", name, strings.Join(names, ", "))
		}
	}
	kept := []expr.Habit{}
	for _, r := range all {
		if (m.Only == nil || slices.Contains(m.Only, r.Name())) && !slices.Contains(m.Without, r.Name()) {
			kept = append(kept, r)
		}
	}
	return kept, nil
}
