package main

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/ports/portstub"
)

// everyCommand visits all commands that are shown, and their helps.
func everyCommand(p *program.Program, visit func(c *cobra.Command)) {
	var all func(*cobra.Command)
	all = func(c *cobra.Command) {
		visit(c)
		for _, sub := range usage.Subcommands(c) {
			all(sub)
		}
	}
	all(rootCommand(p))
}

// The help of every command fits the terminal, tells how to call it, and is nowhere a
// template's.
func TestHelp(t *testing.T) {
	clumsy := regexp.MustCompile(`\[flags\]|Additional help|Available Commands|Global Flags|stringArray|\[=true|default -1|by itself:`)
	for _, width := range []int{60, 100} {
		t.Setenv("COLUMNS", fmt.Sprint(width))
		p := &program.Program{}
		n := 0
		everyCommand(p, func(c *cobra.Command) {
			n++
			var b bytes.Buffer
			usage.PrintHelp(&b, c, p.Width())
			help := b.String()
			if !strings.Contains(help, "\nUsage:\n  "+c.CommandPath()) {
				t.Errorf("%s: no usage in\n%s", c.CommandPath(), help)
			}
			if c.HasParent() && strings.Contains(help, "--seating") && c.Name() != "seating" && !strings.Contains(c.CommandPath(), " calibrate") { // which measures the parts of a seating
				t.Errorf("%s explains the flags of all commands", c.CommandPath())
			}
			if found := clumsy.FindString(help); found != "" {
				t.Errorf("%s: the help says %q", c.CommandPath(), found)
			}
			for line := range strings.SplitSeq(help, "\n") {
				if strings.TrimRight(line, " \t") != line {
					t.Errorf("%s: the line %q ends in blanks", c.CommandPath(), line)
				}
				if n := utf8.RuneCountInString(line); n > width {
					t.Errorf("%s: a line of %d columns at %d: %s", c.CommandPath(), n, width, line)
				}
			}
			for _, f := range usage.FlagsOf(c.NonInheritedFlags()) {
				if !strings.Contains(help, "--"+f.Name) || f.About == "" || strings.HasSuffix(f.About, ".") {
					t.Errorf("%s: --%s is explained by %q", c.CommandPath(), f.Name, f.About)
				}
			}
		})
		if n < 30 {
			t.Errorf("only %d commands were looked at", n)
		}
	}
}

// Every command has a page in the manual, and what roff would take for a command is none.
func TestMan(t *testing.T) {
	command := regexp.MustCompile(`^\.(TH|SH|TP|B|BR|PP|br|nf|fi)( |$)`)
	everyCommand(&program.Program{}, func(c *cobra.Command) {
		page := usage.ManPage(c, "v1")
		for _, want := range []string{".TH ", "\n.SH NAME\nswellbox", "\n.SH SYNOPSIS\n", "\n.SH DESCRIPTION\n", "\n.SH EXIT STATUS\n", "\n.SH SEE ALSO\n"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %q in\n%s", c.CommandPath(), want, page)
			}
		}
		for line := range strings.SplitSeq(strings.TrimSuffix(page, "\n"), "\n") {
			if line == "" || (line[0] == '.' || line[0] == '\'') && !command.MatchString(line) {
				t.Errorf("%s: the line %q is no command of man(7)", c.CommandPath(), line)
			}
		}
	})
}

// What a shell is offered for a word that is being typed.
func TestCompletion(t *testing.T) {
	d := atDesktop(t)
	d.file("user/swellbox/profiles/mine.yaml", "swellbox: 1\nname: mine\nextends: flute\n")
	d.file("broken.yaml", "nothing: [")
	sys := newAudible()
	d.system = sys
	r := d.start("live")
	sys.Feed("swellbox in 1", 0xC0, 40)
	sys.Feed("swellbox in 1", 0x90, 69, 90)
	await(t, sys.heard, "the note", noteOn)
	for line, want := range map[string]string{
		"render --timing ":                    "notes tempos steady",
		"render --only ":                      strings.Join(settings.HabitNames(), " "),
		"render --only vibrato,":              "vibrato," + strings.Join(without(settings.HabitNames(), "vibrato"), " vibrato,"),
		"quiz --skill br":                     "brass",
		"profile show min":                    "mine",
		"profile new x --extends mi":          "mine",
		"live --in l":                         "left hand",
		"live --out r":                        "right hand",
		"switch ":                             "raw shaped",
		"switch raw ":                         "channel 1 of port 1 (violins)",
		"place ":                              "hall studio",
		"balance x.mid --place ":              "hall studio",
		"demo --part Trumpet":                 "Trumpet 1 Trumpet 2",
		"prof":                                "profile",
		"help profile sh":                     "show",
		"--prefer ":                           "own studio",
		"completion f":                        "fish",
		"status --config broken.yaml --log d": "debug",
	} {
		ports := &portstub.System{}
		ports.Plug("left hand", true, false)
		ports.Plug("right hand", false, true)
		d.system = ports
		words := strings.Split(line, " ")
		out := d.must(append([]string{"__complete"}, words...)...)
		var got []string
		for offered := range strings.Lines(out) {
			offered, _, _ = strings.Cut(strings.TrimSuffix(offered, "\n"), "\t")
			if offered != "" && offered[0] != ':' {
				got = append(got, offered)
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%q is offered %q, want %q", line, got, want)
		}
	}
	r.cancel()
	r.end()
	for _, shell := range shells {
		if out := d.must("completion", shell); !strings.Contains(out, "swellbox") {
			t.Errorf("%s is taught by %.80q", shell, out)
		}
	}
}

func without(all []string, name string) (rest []string) {
	for _, s := range all {
		if s != name {
			rest = append(rest, s)
		}
	}
	return rest
}
