package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// setHelp gives the commands our own help: the sentences first, then how to call
// the command, then the flags that are its own. Those that all commands share
// stand in the help of swellbox itself only.
func setHelp(root *cobra.Command) {
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { printHelp(c.OutOrStdout(), c) })
	root.SetUsageFunc(func(c *cobra.Command) error { printHelp(c.OutOrStderr(), c); return nil })
	root.InitDefaultHelpFlag()
	root.SetHelpCommand(&cobra.Command{
		Use:               "help [COMMAND]",
		Short:             "explain a command",
		PersistentPreRunE: func(*cobra.Command, []string) error { return nil }, // a broken configuration is no reason not to help
		RunE: func(c *cobra.Command, args []string) error {
			found, rest, err := root.Find(args)
			if err != nil || len(rest) > 0 {
				return unknownCommand(root, args)
			}
			return found.Help()
		},
	})
	root.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 0 {
			return unknownCommand(root, args)
		}
		return nil
	}
	root.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
}

func unknownCommand(root *cobra.Command, args []string) error {
	known := strings.Join(names(root), ", ")
	return fmt.Errorf("there is no command %q; the commands are %s: %w", strings.Join(args, " "), known, errUsage)
}

func names(c *cobra.Command) (all []string) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			all = append(all, sub.Name())
		}
	}
	return all
}

func printHelp(out io.Writer, c *cobra.Command) {
	about := c.Long
	if about == "" {
		about = c.Short
	}
	fmt.Fprintf(out, "%s\n\nUsage:\n", about)
	if c.Runnable() && c.HasParent() {
		fmt.Fprintf(out, "  %s\n", usageLine(c))
	}
	if subs := names(c); len(subs) > 0 {
		fmt.Fprintf(out, "  %s COMMAND\n\nCommands:\n", c.CommandPath())
		w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
		for _, sub := range c.Commands() {
			if sub.IsAvailableCommand() {
				fmt.Fprintf(w, "  %s\t%s\n", sub.Name(), sub.Short)
			}
		}
		w.Flush()
	}
	own := c.NonInheritedFlags()
	if hasFlags(own) {
		title := "Flags"
		if !c.HasParent() {
			title = "Flags of all commands"
		}
		fmt.Fprintf(out, "\n%s:\n", title)
		printFlags(out, own)
	}
	if c.HasParent() {
		fmt.Fprintf(out, "\nFlags that all commands share are explained by swellbox --help.\n")
	} else {
		fmt.Fprintf(out, "\nA command's own flags are explained by swellbox COMMAND --help.\n")
	}
}

// usageLine is how a command is called.
func usageLine(c *cobra.Command) string {
	line := c.Parent().CommandPath() + " " + c.Use
	if hasFlags(c.NonInheritedFlags()) && !strings.Contains(line, "-") {
		line += " [FLAGS]"
	}
	return line
}

func hasFlags(f *pflag.FlagSet) (has bool) {
	f.VisitAll(func(flag *pflag.Flag) { has = has || shown(flag) })
	return has
}

// shown reports whether a flag needs explaining: --help does not.
func shown(flag *pflag.Flag) bool { return !flag.Hidden && flag.Name != "help" }

// nothing are defaults that are no news.
var nothing = []string{"", "0", "-1", "false", "[]"}

// printFlags lists flags with the word for their value that their description has in
// backquotes, if it has one.
func printFlags(out io.Writer, f *pflag.FlagSet) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	f.VisitAll(func(flag *pflag.Flag) {
		if !shown(flag) {
			return
		}
		word, about := pflag.UnquoteUsage(flag)
		switch {
		case flag.Value.Type() == "bool":
			word = ""
		case !strings.Contains(flag.Usage, "`"):
			word = " " + map[string]string{"int": "NUMBER", "float64": "NUMBER", "duration": "TIME"}[flag.Value.Type()]
			if word == " " {
				word = " NAME"
			}
		default:
			word = " " + strings.ToUpper(word)
		}
		short := "    "
		if flag.Shorthand != "" {
			short = "-" + flag.Shorthand + ", "
		}
		if !slices.Contains(nothing, flag.DefValue) {
			about += fmt.Sprintf(" (default: %s)", flag.DefValue)
		}
		fmt.Fprintf(w, "  %s--%s%s\t%s\n", short, flag.Name, word, about)
	})
	w.Flush()
}
