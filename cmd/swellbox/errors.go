package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/url"
	"os"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/profiles/reading"
)

// errUsage marks an error after which the help of the command helps more than the
// sentence; the status is then [statusMisused].
var errUsage = errors.New("see swellbox help")

// report says on the error side how a command ended, in one sentence or, with --json,
// as one object on one line: error, status, and the command whose help explains more.
func (p *program) report(ctx context.Context, c *cobra.Command, err error) int {
	switch {
	case err == nil:
		return statusDone
	case ctx.Err() != nil && !p.endless.Load() && errors.Is(err, context.Canceled):
		p.complain("stopped by Ctrl-C; no half-written file is left", statusInterrupted, "")
		return statusInterrupted
	case !errors.Is(err, errUsage):
		p.complain(plainly(err), statusFailed, "")
		return statusFailed
	}
	see := "swellbox --help"
	if c != nil && c.HasParent() && c.Name() != "help" {
		see = c.CommandPath() + " --help"
	}
	p.complain(strings.TrimSuffix(plainly(err), ": "+errUsage.Error()), statusMisused, see)
	return statusMisused
}

func (p *program) complain(text string, status int, see string) {
	if p.json {
		p.sayJSON(struct {
			Error  string `json:"error"`
			Status int    `json:"status"`
			See    string `json:"see,omitempty"`
		}{text, status, see})
		return
	}
	switch {
	case see != "" && strings.HasSuffix(text, "?"):
		text += " See " + see
	case see != "":
		text += "; see " + see
	}
	fmt.Fprintf(p.err, "swellbox: %s\n", text)
}

// warn says what went on all the same; with --json a line each, as {"warning": …}.
func (p *program) warn(warnings []string) {
	for _, w := range warnings {
		if p.json {
			p.sayJSON(struct {
				Warning string `json:"warning"`
			}{w})
		} else {
			fmt.Fprintf(p.err, "swellbox: warning: %s\n", w)
		}
	}
}

// sayJSON writes one line to the error side.
func (p *program) sayJSON(v any) {
	enc := json.NewEncoder(p.err)
	enc.SetEscapeHTML(false)
	enc.Encode(v) // an error here has nowhere to be told
}

// asksForJSON looks whether --json is meant before the settings are read, for the errors
// of reading them.
func asksForJSON(root *cobra.Command, args []string) bool {
	value := os.Getenv("SWELLBOX_JSON")
	for _, arg := range args {
		if arg == "--" {
			break
		}
		if arg == "--json" {
			value = "true"
		} else if said, ok := strings.CutPrefix(arg, "--json="); ok {
			value = said
		}
	}
	f := pflag.NewFlagSet("", pflag.ContinueOnError)
	json := f.Bool("json", false, "")
	return value != "" && f.Set("json", value) == nil && *json
}

// flagError says in our words what is wrong with a flag.
func flagError(c *cobra.Command, err error) error {
	var (
		unknown *pflag.NotExistError
		missing *pflag.ValueRequiredError
		wrong   *pflag.InvalidValueError
	)
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if short := unknown.GetSpecifiedShortnames(); short != "" {
			return fmt.Errorf("%s has no flag -%s: %w", c.CommandPath(), short[:1], errUsage)
		}
		near := ""
		var known []string
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if !f.Hidden {
				known = append(known, f.Name)
			}
		})
		if n, ok := reading.Nearest(name, known); ok {
			near = "; did you mean --" + n + "?"
		}
		return fmt.Errorf("%s has no flag --%s%s: %w", c.CommandPath(), name, near, errUsage)
	case errors.As(err, &missing):
		return fmt.Errorf("--%s needs a value after it: %w", missing.GetFlag().Name, errUsage)
	case errors.As(err, &wrong):
		return fmt.Errorf("--%s is %q; it must be %s: %w", wrong.GetFlag().Name, wrong.GetValue(), kinds[wrong.GetFlag().Value.Type()], errUsage)
	}
	return fmt.Errorf("%w: %w", err, errUsage)
}

// kinds says what a flag of a type can be.
var kinds = map[string]string{
	"bool": "true or false", "int": "a whole number", "uint64": "a whole number, 0 or more", "float64": "a number", "duration": "a time such as 500ms",
	"stringSlice": "a list separated by commas",
}

// unknownCommand says that there is no such command, and which was perhaps meant.
func unknownCommand(c *cobra.Command, word string) error {
	known := names(c)
	if near, ok := reading.Nearest(word, known); ok {
		return fmt.Errorf("there is no command %s; did you mean %s %s?: %w", word, c.CommandPath(), near, errUsage)
	}
	return fmt.Errorf("there is no command %s; the commands are %s: %w", word, inWords(known, "and"), errUsage)
}

// inWords is a list as one says it: a, b and c; with semicolons where the words have
// commas themselves.
func inWords(words []string, last string) string {
	n := len(words)
	if n < 2 {
		return strings.Join(words, "")
	}
	comma := ", "
	if strings.ContainsRune(strings.Join(words, ""), ',') {
		comma = "; "
	}
	return strings.Join(words[:n-1], comma) + " " + last + " " + words[n-1]
}

// plainly is what an error says, in words that need no programmer: what the system and
// the network call by their own names is said as a sentence would.
func plainly(err error) string {
	text := err.Error()
	for _, r := range rawParts(err) {
		text = strings.Replace(text, r.text, r.words, 1)
	}
	if strings.HasSuffix(text, " is not there") {
		text += "; look at how it is spelt, and in which folder"
	}
	return text
}

// rawPart is a part of an error's text, and what it is to be called.
type rawPart struct{ text, words string }

// rawParts are those in an error, the outermost first.
func rawParts(err error) []rawPart {
	if words, ok := inPlainWords(err); ok {
		return []rawPart{{err.Error(), words}}
	}
	switch e := err.(type) {
	case interface{ Unwrap() error }:
		if inner := e.Unwrap(); inner != nil {
			return rawParts(inner)
		}
	case interface{ Unwrap() []error }:
		var all []rawPart
		for _, inner := range e.Unwrap() {
			all = append(all, rawParts(inner)...)
		}
		return all
	}
	return nil
}

// inPlainWords knows the errors of the system and the network.
func inPlainWords(err error) (string, bool) {
	switch e := err.(type) {
	case *fs.PathError:
		return e.Path + " " + trouble(e.Err), true
	case *os.LinkError:
		return e.New + " " + trouble(e.Err), true
	case *os.SyscallError:
		return "it " + trouble(e.Err), true
	case syscall.Errno:
		return "it " + trouble(e), true
	case *url.Error:
		if words, ok := inPlainWords(e.Err); ok {
			return words, true
		}
		return e.Err.Error(), true
	case *net.DNSError:
		return fmt.Sprintf("no computer is named %s here", e.Name), true
	case *net.OpError:
		return unreachable(e), true
	}
	if err == context.DeadlineExceeded {
		return "there was no answer in time", true
	}
	return "", false
}

// unreachable says why a computer in the network cannot be spoken to.
func unreachable(e *net.OpError) string {
	var name *net.DNSError
	where := "the other computer"
	if e.Addr != nil {
		where = e.Addr.String()
	}
	switch {
	case errors.As(e, &name):
		return fmt.Sprintf("no computer is named %s here", name.Name)
	case e.Timeout():
		return where + " does not answer"
	case errors.Is(e, syscall.EADDRINUSE):
		return where + " is in use by another program"
	case errors.Is(e, syscall.EADDRNOTAVAIL):
		return where + " is no address of this computer"
	case errors.Is(e, syscall.ECONNREFUSED):
		return "nobody listens at " + where
	}
	var number syscall.Errno
	if errors.As(e, &number) {
		return where + " " + trouble(number)
	}
	return where + " cannot be reached"
}

// trouble is what a cause means for what it is said of.
func trouble(err error) string {
	for _, t := range []struct {
		err   error
		words string
	}{
		{fs.ErrNotExist, "is not there"},
		{fs.ErrPermission, "is closed to you (no permission)"},
		{fs.ErrExist, "is there already"},
		{syscall.EISDIR, "is a folder"},
		{syscall.ENOTDIR, "is no folder, or lies in what is none"},
		{syscall.ENOSPC, "has no room: the disk is full"},
		{syscall.EROFS, "is on a disk that cannot be written to"},
		{syscall.ENAMETOOLONG, "has too long a name"},
		{syscall.EIO, "cannot be read: the disk reports a fault"},
		{syscall.ECONNREFUSED, "does not answer"},
		{syscall.EADDRINUSE, "is in use by another program"},
	} {
		if errors.Is(err, t.err) {
			return t.words
		}
	}
	return "cannot be used (" + err.Error() + ")"
}
