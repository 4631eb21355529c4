package main

import "github.com/spf13/cobra"

// profileCommand groups what is done with profiles.
func (p *program) profileCommand() *cobra.Command {
	c := &cobra.Command{
		Use:         "profile",
		Short:       "list, show, check, write, share and trust profiles",
		Annotations: map[string]string{"group": "yes"},
	}
	grouping(c)
	c.AddCommand(p.profileReadCommands()...)
	c.AddCommand(p.profileWriteCommands()...)
	c.AddCommand(p.profileHistoryCommands()...)
	c.AddCommand(p.profileShareCommands()...)
	return c
}
