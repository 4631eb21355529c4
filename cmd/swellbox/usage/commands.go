// Package usage is what all commands have in common: how their arguments and flags are checked,
// their help and manual pages, and what is said of a command line that makes no sense.
package usage

import (
	"github.com/spf13/cobra"
)

// Grouping has a command that only groups others explain them, and refuse what is none
// of them.
func Grouping(c *cobra.Command) {
	c.Args = OnlyCommands
	c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
}

// OnlyCommands is the check of arguments of a command that has others under it.
func OnlyCommands(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return UnknownCommand(c, args[0])
	}
	return nil
}

// Names are the commands of a command that are shown.
func Names(c *cobra.Command) (all []string) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			all = append(all, sub.Name())
		}
	}
	return all
}

// IsGroup reports whether a command does nothing itself.
func IsGroup(c *cobra.Command) bool { return c.Annotations["group"] != "" }
