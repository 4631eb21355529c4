package settings

import (
	"time"

	"github.com/spf13/pflag"

	"swellbox/expr/habits"
	"swellbox/proxy/perform"
)

// mostRubato bounds the amount of rubato, as that of every habit is bounded.
const mostRubato = 2

// AddTiming declares the flags of how live playing goes in time.
func AddTiming(f *pflag.FlagSet) {
	f.Int("lookahead", 0, "how much later all sounds, so that players know what follows, in `milliseconds`, 0 to 3000")
	AddRubato(f)
	f.Bool("with-clock", false, "let the tempo breathe even while a MIDI clock comes in, though what else follows that clock does not breathe with it")
}

// usualRubato is as much as players were measured to do, pianists and orchestras each in their way.
const usualRubato = 1

// AddRubato declares the flags of what players do to the beat.
func AddRubato(f *pflag.FlagSet) {
	f.Float64("rubato", usualRubato, "how much the tempo of all breathes, an `amount`: 0 not at all, 1 as players were measured to do, up to 2; live it needs --lookahead")
	f.Uint64("seed", 0, "another `number` is another performance of the same piece")
}

// AddHabits declares the flags that choose among the habits.
func AddHabits(f *pflag.FlagSet) {
	f.StringSlice("only", nil, "`habits` to play by, separated by commas, in place of all")
	f.StringSlice("without", nil, "`habits` to leave out, separated by commas")
}

// Manner is how the settings have a piece performed.
func (s *Settings) Manner() perform.Manner {
	m := perform.Manner{
		Lookahead: time.Duration(s.Lookahead) * time.Millisecond,
		Rubato:    s.Rubato, Seed: s.Seed, Clocked: s.WithClock,
		Only: s.Only, Without: s.Without,
	}
	if len(m.Only) == 0 {
		m.Only = nil // all
	}
	return m
}

// HabitNames are the habits as --only and --without name them.
func HabitNames() []string {
	var all []string
	for _, r := range habits.Usual() {
		all = append(all, r.About().Flag())
	}
	return all
}
