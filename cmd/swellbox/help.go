package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/proxy/layout"
)

// setHelp gives the commands our own help: the sentences first, then how to call
// the command, then the flags that are its own. Those that all commands share
// stand in the help of swellbox itself only.
func (p *program) setHelp(root *cobra.Command) {
	root.SetHelpFunc(func(c *cobra.Command, _ []string) {
		if c.HasAvailableSubCommands() && c.Flags().NArg() > 0 { // what follows a group is a command that there is not
			p.unhelped = unknownCommand(c, c.Flags().Arg(0))
			return
		}
		p.printHelp(c.OutOrStdout(), c)
	})
	root.SetUsageFunc(func(c *cobra.Command) error { p.printHelp(c.OutOrStderr(), c); return nil })
	root.InitDefaultHelpFlag()
	root.SetHelpCommand(&cobra.Command{
		Use:               "help [COMMAND]",
		Short:             "explain a command",
		PersistentPreRunE: func(*cobra.Command, []string) error { return nil }, // a broken configuration is no reason not to help
		ValidArgsFunction: func(_ *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			known := fixed()
			if found, _, err := root.Find(args); err == nil {
				known = fixed(names(found)...)
			}
			return known.begun(root, typed), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			found, rest, err := root.Find(args)
			if found == nil {
				found = root
			}
			if err != nil || len(rest) > 0 {
				return unknownCommand(found, args[len(args)-max(len(rest), 1)])
			}
			return found.Help()
		},
	})
	grouping(root)
	inner := root.RunE
	root.RunE = func(c *cobra.Command, args []string) error {
		if asked, _ := c.Flags().GetBool("version"); asked {
			return p.printVersion()
		}
		return inner(c, args)
	}
}

// grouping has a command that only groups others explain them, and refuse what is none
// of them.
func grouping(c *cobra.Command) {
	c.Args = onlyCommands
	c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
}

// onlyCommands is the check of arguments of a command that has others under it.
func onlyCommands(c *cobra.Command, args []string) error {
	if len(args) > 0 {
		return unknownCommand(c, args[0])
	}
	return nil
}

// names are the commands of a command that are shown.
func names(c *cobra.Command) (all []string) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() {
			all = append(all, sub.Name())
		}
	}
	return all
}

// printHelp explains a command at the width of the terminal.
func (p *program) printHelp(out io.Writer, c *cobra.Command) {
	width := p.width()
	fmt.Fprintf(out, "%s\n\nUsage:\n", layout.Text(about(c), width))
	subs := subcommands(c)
	if c.Runnable() && c.HasParent() && (subs == nil || !isGroup(c)) {
		fmt.Fprintln(out, layout.Text("  "+usageLine(c), width))
	}
	if subs != nil {
		fmt.Fprintf(out, "  %s COMMAND\n\nCommands:\n", c.CommandPath())
		t := layout.Table{Indent: 2, Columns: []layout.Column{{}, {Words: true}}}
		for _, sub := range subs {
			t.Row(sub.Name(), sub.Short)
		}
		t.Write(out, width)
	}
	if flags := flagsOf(c.NonInheritedFlags()); flags != nil {
		title := "Flags"
		if !c.HasParent() {
			title = "Flags of all commands"
		}
		fmt.Fprintf(out, "\n%s:\n", title)
		printFlags(out, flags, width)
	}
	last := "Flags that all commands share are explained by swellbox --help."
	if !c.HasParent() {
		last = "A command's own flags are explained by swellbox COMMAND --help. Tab completes commands, flags and names once the shell knows how: swellbox completion --help."
	}
	fmt.Fprintf(out, "\n%s\n", layout.Text(last, width))
}

func about(c *cobra.Command) string {
	if c.Long != "" {
		return c.Long
	}
	return strings.ToUpper(c.Short[:1]) + c.Short[1:] + "."
}

func subcommands(c *cobra.Command) (all []*cobra.Command) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && sub.Name() != "help" {
			all = append(all, sub)
		}
	}
	return all
}

// isGroup reports whether a command does nothing itself.
func isGroup(c *cobra.Command) bool { return c.Annotations["group"] != "" }

// usageLine is how a command is called.
func usageLine(c *cobra.Command) string {
	line := c.Parent().CommandPath() + " " + c.Use
	if flagsOf(c.NonInheritedFlags()) != nil && !strings.Contains(line, "-") {
		line += " [FLAGS]"
	}
	return line
}

// flagHelp is a flag as the help has it: "-o, --out FILE" and a sentence.
type flagHelp struct{ short, name, word, about string }

// nothing are defaults that are no news.
var nothing = []string{"", "0", "-1", "false", "[]"}

// flagsOf are the flags that need explaining, with the word for their value that their
// description has in backquotes, if it has one.
func flagsOf(f *pflag.FlagSet) (all []flagHelp) {
	f.VisitAll(func(flag *pflag.Flag) {
		if flag.Hidden || flag.Name == "help" {
			return
		}
		word, about := pflag.UnquoteUsage(flag)
		switch {
		case flag.Value.Type() == "bool":
			word = ""
		case !strings.Contains(flag.Usage, "`"):
			word = map[string]string{"int": "NUMBER", "float64": "NUMBER", "duration": "TIME"}[flag.Value.Type()]
			if word == "" {
				word = "NAME"
			}
		default:
			word = strings.ToUpper(word)
		}
		if !slices.Contains(nothing, flag.DefValue) {
			about += fmt.Sprintf(" (default: %s)", flag.DefValue)
		}
		all = append(all, flagHelp{flag.Shorthand, flag.Name, word, about})
	})
	return all
}

// spelt is how a flag is typed.
func (f *flagHelp) spelt() string {
	text := "    --" + f.name
	if f.short != "" {
		text = "-" + f.short + ", --" + f.name
	}
	if f.word != "" {
		text += " " + f.word
	}
	return text
}

// besideFlags is the least width at which the sentences have room beside the flags.
const besideFlags = 76

func printFlags(out io.Writer, flags []flagHelp, width int) {
	if width < besideFlags {
		for i := range flags {
			fmt.Fprintf(out, "  %s\n%s\n", flags[i].spelt(), layout.Text("        "+flags[i].about, width))
		}
		return
	}
	t := layout.Table{Indent: 2, Columns: []layout.Column{{}, {Words: true}}}
	for i := range flags {
		t.Row(flags[i].spelt(), flags[i].about)
	}
	t.Write(out, min(width, layout.Broadest))
}
