// Swellbox stands between a notation program's MIDI output and the sampler, and
// plays each part as a musician would.
package main

import (
	"cmp"
	"context"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/profile"
	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/ports"
	"swellbox/proxy/ports/rtmidi"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	p := &program.Program{Output: tell.Output{Out: os.Stdout, Err: os.Stderr, In: os.Stdin}, System: func() ports.System { return rtmidi.New() }}
	status := run(ctx, p, os.Args[1:])
	stop()
	os.Exit(status)
}

// grace is how long a command may take to end after Ctrl-C. What it reads or computes
// without looking up, a password or a key, is left then; files are replaced whole or
// not at all, and nothing of them is under way in either.
const grace = 800 * time.Millisecond

// run parses and does what args ask, and returns the process's status.
func run(ctx context.Context, p *program.Program, args []string) int {
	root := rootCommand(p)
	root.SetArgs(args)
	root.SetIn(p.In)
	root.SetOut(p.Out)
	root.SetErr(p.Err)
	p.AsJSON = asksForJSON(root, args)
	type end struct {
		command *cobra.Command
		err     error
	}
	ended := make(chan end, 1)
	restore := p.RememberTerminal()
	go func() {
		c, err := root.ExecuteContextC(ctx)
		ended <- end{c, cmp.Or(err, p.Unhelped)}
	}()
	var e end
	select {
	case e = <-ended:
	case <-ctx.Done():
		if p.Endless.Load() {
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
	return report(ctx, p, e.command, e.err)
}

func rootCommand(p *program.Program) *cobra.Command {
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
			if !c.HasParent() || usage.IsGroup(c) || strings.HasPrefix(c.Name(), cobra.ShellCompRequestCmd) {
				return nil // all it does is to help
			}
			var err error
			p.Settings, err = settings.Read(c.Flags())
			return err
		},
		CompletionOptions:  cobra.CompletionOptions{DisableDefaultCmd: true},
		DisableSuggestions: true, // ours are in unknownCommand
	}
	root.SetFlagErrorFunc(usage.FlagError)
	root.SetGlobalNormalizationFunc(settings.ByNewName)
	settings.AddFlags(root.PersistentFlags())
	root.AddCommand(
		demoCommand(p), lessonCommand(p), liveCommand(p), renderCommand(p), balanceCommand(p), playCommand(p), replayCommand(p), consoleCommand(p), seatingCommand(p),
		profile.Command(p), portsCommand(p),
		calibrateCommand(p), quizCommand(p), completionCommand(p), manCommand(p),
	)
	root.AddCommand(steerCommands(p)...)
	addVersion(root)
	setHelp(p, root)
	setCompletions(p, root)
	return root
}
