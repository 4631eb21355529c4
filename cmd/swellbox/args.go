package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"swellbox/profiles/reading"
)

// exactly is the check of a number of arguments, which what names.
func exactly(n int, what string) cobra.PositionalArgs { return between(n, n, what) }

// between is the check of a number of arguments that may vary.
func between(least, most int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return fmt.Errorf("expected %s, found %s: %w", what, foundArguments(len(args)), errUsage)
		}
		return nil
	}
}

// oneOf refuses a word that is none of those that it can be.
func oneOf(what, word string, known []string) error {
	if slices.Contains(known, word) {
		return nil
	}
	return fmt.Errorf("%s is %q; it can be %s: %w", what, word, inWords(known, "or"), errUsage)
}

// perhaps offers the word that was most likely meant, or all that there are.
func perhaps(word string, known []string, all string) string {
	if near, ok := reading.Nearest(word, known); ok {
		return "did you mean " + near + "?"
	}
	return all + inWords(known, "and")
}

func foundArguments(n int) string {
	if n == 0 {
		return "none"
	}
	return counted(n, "argument")
}

// counted is a number of things: "1 note", "2 notes".
func counted[N int | uint64](n N, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
