package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/control"
)

// steerCommands are the commands that steer a running swellbox: those of the control API.
func steerCommands(p *program.Program) (all []*cobra.Command) {
	for _, c := range control.Commands() {
		all = append(all, steerCommand(p, c))
	}
	return all
}

func steerCommand(p *program.Program, c *control.Command) *cobra.Command {
	return &cobra.Command{
		Use:     strings.TrimSpace(c.Name + " " + c.Takes.Usage),
		Aliases: c.Aliases,
		Short:   c.Short,
		Long:    c.Long,
		Args:    taking(&c.Takes),
		RunE: func(_ *cobra.Command, args []string) error {
			request, err := c.Request(args)
			if err != nil {
				return fmt.Errorf("%w: %w", err, usage.ErrUsage)
			}
			path, err := p.Settings.ControlPath()
			if err != nil {
				return err
			}
			s, err := control.NewClient(path).Ask(c, request)
			switch {
			case err != nil:
				return err
			case p.Settings.JSON:
				return p.PrintJSON(s)
			case c.Said == nil:
				printStatus(p, s)
				return nil
			}
			p.Sayf("%s", c.Said(&s))
			return nil
		},
	}
}

// taking is the check of how many arguments a command is given.
func taking(a *control.Arguments) cobra.PositionalArgs {
	switch {
	case a.Choice == nil && a.One == "":
		return usage.Exactly(0, "no argument")
	case a.Choice == nil:
		return usage.Exactly(1, a.One)
	}
	choice := tell.InWords(a.Choice, "or")
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) == 0:
			return fmt.Errorf("say %s: %w", choice, usage.ErrUsage)
		case !a.Parts:
			return usage.Exactly(1, "one word: "+choice)(c, args)
		}
		return nil
	}
}

// steered are the values of the arguments of the commands that steer, by command.
func steered() map[string][]values {
	all := map[string][]values{}
	for _, c := range control.Commands() {
		if c.Takes.Choice == nil {
			continue
		}
		further := values(nil)
		if c.Takes.Parts {
			further = partNames
		}
		all["swellbox "+c.Name] = []values{fixed(c.Takes.Choice...), further}
	}
	return all
}
