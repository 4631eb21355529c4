package usage

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// PageName is the name of a command's manual page.
func PageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// ManPage is the manual page of a command of that version, in the macros of man(7).
func ManPage(c *cobra.Command, version string) string {
	var b strings.Builder
	name := PageName(c)
	fmt.Fprintf(&b, ".TH %s 1 \"\" %s \"swellbox manual\"\n", roff(strings.ToUpper(name)), roff("swellbox "+version))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(name), roff(c.Short))
	b.WriteString(".SH SYNOPSIS\n")
	if c.HasParent() && !IsGroup(c) {
		fmt.Fprintf(&b, "%s\n.br\n", roff(usageLine(c)))
	}
	subs := Subcommands(c)
	if subs != nil {
		fmt.Fprintf(&b, "%s COMMAND\n", roff(c.CommandPath()))
	}
	b.WriteString(".SH DESCRIPTION\n")
	verbatim := false
	for line := range strings.SplitSeq(about(c), "\n") {
		if indented := strings.HasPrefix(line, " "); indented != verbatim {
			b.WriteString(map[bool]string{true: ".nf\n", false: ".fi\n"}[indented])
			verbatim = indented
		}
		if line == "" {
			line = ".PP"
		} else {
			line = roff(line)
		}
		b.WriteString(line + "\n")
	}
	if verbatim {
		b.WriteString(".fi\n")
	}
	if subs != nil {
		b.WriteString(".SH COMMANDS\n")
		for _, sub := range subs {
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(sub.Name()), roff(sub.Short))
		}
	}
	if flags := FlagsOf(c.NonInheritedFlags()); flags != nil {
		b.WriteString(".SH OPTIONS\n")
		for i := range flags {
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(strings.TrimSpace(flags[i].spelt())), roff(flags[i].About))
		}
	}
	b.WriteString(".SH EXIT STATUS\n0 when all went well, 1 when something failed, 2 for a command line that makes no sense, 130 when Ctrl\\-C stopped it.\n")
	var also []string
	if c.HasParent() {
		also = append(also, PageName(c.Parent()))
	}
	for _, sub := range subs {
		also = append(also, PageName(sub))
	}
	b.WriteString(".SH SEE ALSO\n")
	for i, page := range also {
		comma := ","
		if i+1 == len(also) {
			comma = ""
		}
		fmt.Fprintf(&b, ".BR %s (1)%s\n", roff(page), comma)
	}
	return b.String()
}

// roff is text as roff takes it: what would be a command or an escape is neither.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, `-`, `\-`).Replace(text)
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		text = `\&` + text
	}
	return text
}
