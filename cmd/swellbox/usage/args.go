package usage

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/tell"
	"swellbox/profiles/reading"
)

// Exactly is the check of a number of arguments, which what names.
func Exactly(n int, what string) cobra.PositionalArgs { return Between(n, n, what) }

// Between is the check of a number of arguments that may vary.
func Between(least, most int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return fmt.Errorf("expected %s, found %s: %w", what, foundArguments(len(args)), ErrUsage)
		}
		return nil
	}
}

// OneOf refuses a word that is none of those that it can be.
func OneOf(what, word string, known []string) error {
	if slices.Contains(known, word) {
		return nil
	}
	return fmt.Errorf("%s is %q; it can be %s: %w", what, word, tell.InWords(known, "or"), ErrUsage)
}

// Perhaps offers the word that was most likely meant, or all that there are.
func Perhaps(word string, known []string, all string) string {
	if near, ok := reading.Nearest(word, known); ok {
		return "did you mean " + near + "?"
	}
	return all + tell.InWords(known, "and")
}

func foundArguments(n int) string {
	if n == 0 {
		return "none"
	}
	return tell.Counted(n, "argument")
}
