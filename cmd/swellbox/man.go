package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/profiles/atomicfile"
)

// manCommand writes the manual. It is not among the commands that the help shows: it is
// for those who make a package of swellbox.
func manCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:    "man FOLDER",
		Short:  "write the manual pages of all commands",
		Long:   "man writes a manual page of section 1 for each command into a folder, from what --help says. Read one with: man -l FOLDER/swellbox-render.1",
		Hidden: true,
		Args:   usage.Exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("the folder of the manual cannot be made: %w", err)
			}
			n := 0
			var visit func(*cobra.Command) error
			visit = func(c *cobra.Command) error {
				n++
				err := atomicfile.WriteBytes(filepath.Join(args[0], usage.PageName(c)+".1"), []byte(usage.ManPage(c, program.Build().Version)))
				for _, sub := range usage.Subcommands(c) {
					if err != nil {
						return err
					}
					err = visit(sub)
				}
				return err
			}
			if err := visit(c.Root()); err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(map[string]any{"folder": args[0], "pages": n})
			}
			fmt.Fprintf(p.Out, "%s written to %s\n", tell.Counted(n, "page"), args[0])
			return nil
		},
	}
}
