package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swellbox/profiles/atomicfile"
)

// manCommand writes the manual. It is not among the commands that the help shows: it is
// for those who make a package of swellbox.
func (p *program) manCommand() *cobra.Command {
	return &cobra.Command{
		Use:    "man FOLDER",
		Short:  "write the manual pages of all commands",
		Long:   "man writes a manual page of section 1 for each command into a folder, from what --help says. Read one with: man -l FOLDER/swellbox-render.1",
		Hidden: true,
		Args:   exactly(1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o755); err != nil {
				return fmt.Errorf("the folder of the manual cannot be made: %w", err)
			}
			n := 0
			var visit func(*cobra.Command) error
			visit = func(c *cobra.Command) error {
				n++
				err := atomicfile.Write(filepath.Join(args[0], pageName(c)+".1"), func(w io.Writer) error {
					_, err := io.WriteString(w, manPage(c))
					return err
				})
				for _, sub := range subcommands(c) {
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
			if p.settings.JSON {
				return p.printJSON(map[string]any{"folder": args[0], "pages": n})
			}
			fmt.Fprintf(p.out, "%s written to %s\n", counted(n, "page"), args[0])
			return nil
		},
	}
}

func pageName(c *cobra.Command) string { return strings.ReplaceAll(c.CommandPath(), " ", "-") }

// manPage is the manual page of a command, in the macros of man(7).
func manPage(c *cobra.Command) string {
	var b strings.Builder
	name := pageName(c)
	fmt.Fprintf(&b, ".TH %s 1 \"\" %s \"swellbox manual\"\n", roff(strings.ToUpper(name)), roff("swellbox "+build().Version))
	fmt.Fprintf(&b, ".SH NAME\n%s \\- %s\n", roff(name), roff(c.Short))
	b.WriteString(".SH SYNOPSIS\n")
	if c.HasParent() && !isGroup(c) {
		fmt.Fprintf(&b, "%s\n.br\n", roff(usageLine(c)))
	}
	subs := subcommands(c)
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
	if flags := flagsOf(c.NonInheritedFlags()); flags != nil {
		b.WriteString(".SH OPTIONS\n")
		for i := range flags {
			fmt.Fprintf(&b, ".TP\n.B %s\n%s\n", roff(strings.TrimSpace(flags[i].spelt())), roff(flags[i].about))
		}
	}
	b.WriteString(".SH EXIT STATUS\n0 when all went well, 1 when something failed, 2 for a command line that makes no sense, 130 when Ctrl\\-C stopped it.\n")
	var also []string
	if c.HasParent() {
		also = append(also, pageName(c.Parent()))
	}
	for _, sub := range subs {
		also = append(also, pageName(sub))
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
