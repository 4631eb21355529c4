// Swellbox stands between a notation program's MIDI output and the sampler, and
// plays each part as a musician would.
package main

import (
	"cmp"
	"context"
	"io"
	"os"
	"os/signal"
	"strings"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"swellbox/proxy/ports"
	"swellbox/proxy/ports/rtmidi"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	p := &program{out: os.Stdout, err: os.Stderr, in: os.Stdin, system: func() ports.System { return rtmidi.New() }}
	status := p.run(ctx, os.Args[1:])
	stop()
	os.Exit(status)
}

// program is one run of the command line, with what a test may replace.
type program struct {
	in       io.Reader
	out, err io.Writer
	system   func() ports.System
	settings settings
	json     bool        // errors, warnings and progress are JSON too
	endless  atomic.Bool // what runs goes on until Ctrl-C, which is then no failure
	unhelped error       // why what --help was asked for could not be explained
}

// What the process ends with.
const (
	statusDone        = 0
	statusFailed      = 1
	statusMisused     = 2   // the command line makes no sense
	statusInterrupted = 130 // 128 and the number of SIGINT, as shells have it
)

// grace is how long a command may take to end after Ctrl-C. What it reads or computes
// without looking up, a password or a key, is left then; files are replaced whole or
// not at all, and nothing of them is under way in either.
const grace = 800 * time.Millisecond

// run parses and does what args ask, and returns the process's status.
func (p *program) run(ctx context.Context, args []string) int {
	root := p.rootCommand()
	root.SetArgs(args)
	root.SetIn(p.in)
	root.SetOut(p.out)
	root.SetErr(p.err)
	p.json = asksForJSON(root, args)
	type end struct {
		command *cobra.Command
		err     error
	}
	ended := make(chan end, 1)
	restore := p.rememberTerminal()
	go func() {
		c, err := root.ExecuteContextC(ctx)
		ended <- end{c, cmp.Or(err, p.unhelped)}
	}()
	var e end
	select {
	case e = <-ended:
	case <-ctx.Done():
		if p.endless.Load() {
			e = <-ended
			break
		}
		select {
		case e = <-ended:
		case <-time.After(grace):
			restore()
			e = end{root, ctx.Err()}
		}
	}
	return p.report(ctx, e.command, e.err)
}

func (p *program) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "swellbox",
		Short: "play each part of a score as a musician would, between notation program and sampler",
		Long: `swellbox stands between a notation program's MIDI output and the sampler. It turns flat playback into a performance: expression for velocities, vibrato for strings, the weight of brass; and compares the two at a touch.

Start with:
  swellbox demo                           no device needed
then:
  swellbox live                           on what you play
  swellbox render RAW.mid -o SHAPED.mid   on a MIDI file`,
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(c *cobra.Command, _ []string) error {
			if !c.HasParent() || isGroup(c) || strings.HasPrefix(c.Name(), cobra.ShellCompRequestCmd) {
				return nil // all it does is to help
			}
			var err error
			p.settings, err = readSettings(c.Flags())
			return err
		},
		CompletionOptions:  cobra.CompletionOptions{DisableDefaultCmd: true},
		DisableSuggestions: true, // ours are in unknownCommand
	}
	root.SetFlagErrorFunc(flagError)
	root.SetGlobalNormalizationFunc(byNewName)
	addSettings(root.PersistentFlags())
	root.AddCommand(
		p.demoCommand(), p.liveCommand(), p.renderCommand(), p.balanceCommand(), p.playCommand(), p.seatingCommand(),
		p.profileCommand(), p.portsCommand(), p.switchCommand(), p.placeCommand(), p.lookaheadCommand(), p.statusCommand(), p.panicCommand(),
		p.quizCommand(), p.completionCommand(), p.manCommand(),
	)
	addVersion(root)
	p.setHelp(root)
	p.setCompletions(root)
	return root
}
