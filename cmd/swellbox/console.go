package main

import (
	"errors"
	"path/filepath"
	"sync"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"swellbox/cmd/swellbox/profile"
	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/console"
	"swellbox/proxy/control"
	"swellbox/proxy/live"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

// usualConsolePort is where the page is looked for first, so that one that is open finds a daemon
// that was started anew.
const usualConsolePort = 27182

// pageFlags say whether and how the page is served.
type pageFlags struct {
	on        bool
	port      int
	simulated bool            // ports of which nothing is heard
	manner    *perform.Manner // in place of the settings'; nil for theirs
	served    *console.Console
	cast      func() (*perform.Cast, error) // as the documents say now; nil where they do not matter
}

// consoleFlags declares the flags of the page. It is off unless asked for: a daemon that opens a
// port that nobody asked for is a surprise, and on some machines forbidden.
func consoleFlags(f *pflag.FlagSet, pt *portFlags) {
	f.BoolVar(&pt.page.on, "console", false, "serve the page beside the score to a browser on this machine, and print its address")
	consolePortFlag(f, pt)
}

func consolePortFlag(f *pflag.FlagSet, pt *portFlags) {
	f.IntVar(&pt.page.port, "console-port", usualConsolePort, "network `port` of the page; if it is taken, or 0, any")
}

// serveConsole serves the page of a daemon, if it is asked for.
func serveConsole(p *program.Program, d *live.Daemon, pt *portFlags, cast *perform.Cast, path string) error {
	if !pt.page.on {
		return nil
	}
	folder, err := control.Folder(path)
	if err != nil {
		return err
	}
	cfg := console.Config{
		Played: d, Gauges: live.NewGauges(d), Ensemble: cast.Ensemble(),
		Simulated: pt.page.simulated, Port: pt.page.port, PassFile: filepath.Join(folder, "console.pass"),
	}
	if pt.locked == "" {
		pt.page.cast = oneAtATime(p.Settings.PlayableCast)
		cfg.Workshop, cfg.Cast = profile.NewWorkshop(p), pt.page.cast
	}
	c, err := console.Serve(cfg)
	if err != nil {
		return err
	}
	pt.page.served = c
	return nil
}

// over has what is adjusted on the page, and not saved yet, lie over what is read anew.
func (f *pageFlags) over(load func() (*perform.Cast, error)) func() (*perform.Cast, error) {
	if f.cast == nil {
		return load
	}
	return func() (*perform.Cast, error) {
		c, err := f.cast()
		if c != nil && c.Library != nil {
			err = errors.Join(err, f.served.Over(c))
		}
		return c, err
	}
}

// oneAtATime has who reads the documents wait for another who does.
func oneAtATime(load func() (*perform.Cast, error)) func() (*perform.Cast, error) {
	var mu sync.Mutex
	return func() (*perform.Cast, error) {
		mu.Lock()
		defer mu.Unlock()
		return load()
	}
}

// close closes the page, if there is one.
func (f *pageFlags) close() error {
	if f.served == nil {
		return nil
	}
	return f.served.Close()
}

// printConsole says where the page is.
func printConsole(p *program.Program, pt *portFlags) {
	if pt.page.served != nil {
		p.Sayf("page:     %s", pt.page.served.Address())
	}
}

func consoleCommand(p *program.Program) *cobra.Command {
	pt := portFlags{page: pageFlags{on: true, simulated: true}, named: demo.Title}
	c := &cobra.Command{
		Use:   "console",
		Short: "try the page beside the score, with a built-in score and no device",
		Long: `console plays the built-in score over and over into simulated ports, and serves the page on which you watch and steer it: open the address that it prints in a browser on this machine. No device is needed, and nothing is heard.

With your own music: swellbox live --console, or swellbox play RAW.mid --console.`,
		Args: usage.Exactly(0, "no argument"),
		RunE: func(c *cobra.Command, _ []string) error {
			timeline, err := offline.NewTimeline(demo.Score(), 0)
			if err != nil {
				return err
			}
			bars, _ := demo.Bars()
			manner := demo.Manner()
			pt.page.manner = &manner
			return playTimeline(c.Context(), p, timeline, &pt, live.Loop{First: 1, Last: len(bars)})
		},
	}
	consolePortFlag(c.Flags(), &pt)
	return c
}
