package main

import (
	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
)

// setHelp gives the commands our own help: the sentences first, then how to call
// the command, then the flags that are its own. Those that all commands share
// stand in the help of swellbox itself only.
func setHelp(p *program.Program, root *cobra.Command) {
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		if c.HasAvailableSubCommands() && c.Flags().NArg() > 0 { // what follows a group is a command that there is not
			p.Unhelped = usage.UnknownCommand(c, c.Flags().Arg(0))
			return
		}
		usage.PrintHelp(c.OutOrStdout(), c, p.Width())
	})
	root.SetUsageFunc(func(c *cobra.Command) error { usage.PrintHelp(c.OutOrStderr(), c, p.Width()); return nil })
	root.InitDefaultHelpFlag()
	root.SetHelpCommand(&cobra.Command{
		Use:               "help [COMMAND]",
		Short:             "explain a command",
		PersistentPreRunE: func(*cobra.Command, []string) error { return nil }, // a broken configuration is no reason not to help
		ValidArgsFunction: func(_ *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			known := fixed()
			if found, _, err := root.Find(args); err == nil {
				known = fixed(usage.Names(found)...)
			}
			return known.begun(root, typed), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			found, rest, err := root.Find(args)
			if found == nil {
				found = root
			}
			if err != nil || len(rest) > 0 {
				return usage.UnknownCommand(found, args[len(args)-max(len(rest), 1)])
			}
			return found.Help()
		},
	})
	usage.Grouping(root)
	inner := root.RunE
	root.RunE = func(c *cobra.Command, args []string) error {
		if asked, _ := c.Flags().GetBool("version"); asked {
			return printVersion(p)
		}
		return inner(c, args)
	}
}
