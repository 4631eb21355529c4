// Package profile has the commands that list, show, check, write, share and trust profiles.
package profile

import (
	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
)

// Command groups what is done with profiles.
func Command(p *program.Program) *cobra.Command {
	c := &cobra.Command{
		Use:         "profile",
		Short:       "list, show, check, write, share and trust profiles",
		Annotations: map[string]string{"group": "yes"},
	}
	usage.Grouping(c)
	c.AddCommand(readCommands(p)...)
	c.AddCommand(writeCommands(p)...)
	c.AddCommand(historyCommands(p)...)
	c.AddCommand(shareCommands(p)...)
	return c
}
