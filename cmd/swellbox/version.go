package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
)

// addVersion gives swellbox itself the flag --version.
func addVersion(root *cobra.Command) {
	root.Flags().Bool("version", false, "print version, revision and the versions of all libraries")
}

func printVersion(p *program.Program) error {
	b := program.Build()
	if p.AsJSON {
		return p.PrintJSON(b)
	}
	fmt.Fprintf(p.Out, "swellbox %s\n", b.Version)
	switch {
	case b.Revision != "" && b.Changed:
		fmt.Fprintf(p.Out, "revision %s, changed since\n", b.Revision)
	case b.Revision != "":
		fmt.Fprintf(p.Out, "revision %s\n", b.Revision)
	}
	fmt.Fprintf(p.Out, "built by %s with\n", b.Go)
	for _, l := range b.Libraries {
		fmt.Fprintf(p.Out, "  %s %s\n", l.Name, l.Version)
	}
	return nil
}
