// Swellbox stands between a notation program's MIDI output and the sample player,
// and plays each part as a player would.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"

	"swellbox/proxy"
	"swellbox/proxy/rtmidi"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	p := &program{out: os.Stdout, err: os.Stderr, system: func() proxy.System { return rtmidi.New() }}
	os.Exit(p.run(ctx, os.Args[1:]))
}

// program is one run of the command line, with what a test may replace.
type program struct {
	out, err io.Writer
	system   func() proxy.System
	settings settings
}

// errUsage marks an error after which the usage helps more than the sentence.
var errUsage = errors.New("see swellbox help")

// run parses and does what args ask, and returns the process's status: 0 when all
// went well or a signal ended what runs until one does, else 1, or 2 for a command
// line that makes no sense.
func (p *program) run(ctx context.Context, args []string) int {
	root := p.rootCommand()
	root.SetArgs(args)
	root.SetOut(p.out)
	root.SetErr(p.err)
	if err := root.ExecuteContext(ctx); err != nil {
		fmt.Fprintf(p.err, "swellbox: %v\n", err)
		if errors.Is(err, errUsage) {
			return 2
		}
		return 1
	}
	return 0
}

func (p *program) rootCommand() *cobra.Command {
	root := &cobra.Command{
		Use:   "swellbox",
		Short: "play each part of a score as a player would, between notation program and sample player",
		Long: `swellbox stands between a notation program's MIDI output and the sample player.
It turns flat playback into a performance: expression for velocities, vibrato for
strings, the weight of brass; and compares the two at a touch.

Start with:  swellbox demo          no device needed
then:        swellbox live          between notation program and sample player
or:          swellbox render RAW.mid -o SHAPED.mid`,
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(c *cobra.Command, _ []string) error {
			if !c.HasParent() {
				return nil // all it does is to help
			}
			var err error
			p.settings, err = readSettings(c.Flags())
			return err
		},
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: true},
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return fmt.Errorf("%w: %w", err, errUsage) })
	addSettings(root.PersistentFlags())
	root.AddCommand(
		p.demoCommand(), p.liveCommand(), p.renderCommand(), p.balanceCommand(), p.playCommand(),
		p.profileCommand(), p.portsCommand(), p.switchCommand(), p.senseCommand(), p.lookaheadCommand(), p.statusCommand(), p.panicCommand(),
		p.quizCommand(),
	)
	setHelp(root)
	return root
}

// exactly is cobra's check of the number of arguments, with our own words.
func exactly(n int, what string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) != n {
			return fmt.Errorf("%s is due, found %d arguments: %w", what, len(args), errUsage)
		}
		return nil
	}
}
