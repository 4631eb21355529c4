package usage

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/proxy/layout"
)

// PrintHelp explains a command in so many columns.
func PrintHelp(out io.Writer, c *cobra.Command, width int) {
	fmt.Fprintf(out, "%s\n\nUsage:\n", layout.Text(about(c), width))
	subs := Subcommands(c)
	if c.Runnable() && c.HasParent() && (subs == nil || !IsGroup(c)) {
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
	if flags := FlagsOf(c.NonInheritedFlags()); flags != nil {
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

// Subcommands are the commands of a command that its help shows.
func Subcommands(c *cobra.Command) (all []*cobra.Command) {
	for _, sub := range c.Commands() {
		if sub.IsAvailableCommand() && sub.Name() != "help" {
			all = append(all, sub)
		}
	}
	return all
}

// usageLine is how a command is called.
func usageLine(c *cobra.Command) string {
	line := c.Parent().CommandPath() + " " + c.Use
	if FlagsOf(c.NonInheritedFlags()) != nil && !strings.Contains(line, "-") {
		line += " [FLAGS]"
	}
	return line
}

// flagHelp is a flag as the help has it: "-o, --out FILE" and a sentence.
type flagHelp struct{ short, Name, word, About string }

// nothing are defaults that are no news.
var nothing = []string{"", "0", "-1", "false", "[]"}

// FlagsOf are the flags that need explaining, with the word for their value that their
// description has in backquotes, if it has one.
func FlagsOf(f *pflag.FlagSet) (all []flagHelp) {
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
	text := "    --" + f.Name
	if f.short != "" {
		text = "-" + f.short + ", --" + f.Name
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
			fmt.Fprintf(out, "  %s\n%s\n", flags[i].spelt(), layout.Text("        "+flags[i].About, width))
		}
		return
	}
	t := layout.Table{Indent: 2, Columns: []layout.Column{{}, {Words: true}}}
	for i := range flags {
		t.Row(flags[i].spelt(), flags[i].About)
	}
	t.Write(out, min(width, layout.Broadest))
}
