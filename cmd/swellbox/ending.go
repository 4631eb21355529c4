package main

import (
	"context"
	"errors"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
)

// report says on the error side how a command ended, in one sentence or, with --json,
// as one object on one line: error, status, and the command whose help explains more.
func report(ctx context.Context, p *program.Program, c *cobra.Command, err error) int {
	switch {
	case err == nil:
		return statusDone
	case ctx.Err() != nil && !p.Endless.Load() && errors.Is(err, context.Canceled):
		p.Complain("stopped by Ctrl-C; no half-written file is left", statusInterrupted, "")
		return statusInterrupted
	case !errors.Is(err, usage.ErrUsage):
		p.Complain(tell.Plainly(err), statusFailed, "")
		return statusFailed
	}
	see := "swellbox --help"
	if c != nil && c.HasParent() && c.Name() != "help" {
		see = c.CommandPath() + " --help"
	}
	p.Complain(strings.TrimSuffix(tell.Plainly(err), ": "+usage.ErrUsage.Error()), statusMisused, see)
	return statusMisused
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

// What the process ends with.
const (
	statusDone        = 0
	statusFailed      = 1
	statusMisused     = 2   // the command line makes no sense
	statusInterrupted = 130 // 128 and the number of SIGINT, as shells have it
)
