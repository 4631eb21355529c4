package main

import (
	"fmt"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/cmd/swellbox/usage"
	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/proxy/control"
	"swellbox/proxy/layout"
	"swellbox/proxy/live"
	"swellbox/proxy/ports"
)

func portsCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "ports",
		Short: "list the MIDI ports of this machine",
		Args:  usage.Exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			system := p.System()
			defer system.Close()
			list, err := system.Ports()
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				if list == nil {
					list = []ports.Info{}
				}
				return p.PrintJSON(list)
			}
			if len(list) == 0 {
				p.Sayf("there are no MIDI ports; swellbox live makes its own, where the system has virtual ones")
			}
			t := layout.Table{Columns: []layout.Column{{Words: true}, {}}}
			for _, info := range list {
				use := "--out"
				switch {
				case info.In && info.Out:
					use = "--in --out"
				case info.In:
					use = "--in"
				}
				t.Row(info.Name, use)
			}
			return t.Write(p.Out, p.Width())
		},
	}
}

// client speaks to the running daemon.
func client(p *program.Program) (*control.Client, error) {
	path, err := p.Settings.ControlPath()
	if err != nil {
		return nil, err
	}
	return control.NewClient(path), nil
}

func switchCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:       "switch raw|shaped [PART…]",
		Short:     "choose what the running swellbox plays, for all parts or those named",
		ValidArgs: []string{"raw", "shaped"},
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("say raw or shaped: %w", usage.ErrUsage)
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			side, err := control.ParseSide(args[0])
			if err != nil {
				return fmt.Errorf("%w: %w", err, usage.ErrUsage)
			}
			c, err := client(p)
			if err != nil {
				return err
			}
			s, err := c.Switch(side, args[1:])
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(s)
			}
			p.Sayf("playing %s", s.Side)
			return nil
		},
	}
}

func placeCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:       "place hall|studio [PART…]",
		Aliases:   []string{"sense"},
		Short:     "choose whether the parts of the running swellbox stand in a hall or a studio",
		Long:      `place has the parts of the running swellbox, all or those named, stand as on a stage in a hall, where the brass rule a tutti and a low flute vanishes behind trombones, or as in a studio, where they are recorded apart and each is as loud as its own mark. What sounds moves there gradually. Turn the monitors down first.`,
		ValidArgs: []string{"hall", "studio"},
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("say hall or studio: %w", usage.ErrUsage)
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			place, err := control.ParsePlace(args[0])
			if err != nil {
				return fmt.Errorf("%w: %w", err, usage.ErrUsage)
			}
			c, err := client(p)
			if err != nil {
				return err
			}
			s, err := c.SetPlace(place, args[1:])
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(s)
			}
			p.Sayf("standing %s", inPlace(s.Place))
			return nil
		},
	}
}

// inPlace says where parts stand.
func inPlace(place string) string {
	switch place {
	case expr.Hall.String():
		return "as in a hall"
	case expr.Studio.String():
		return "as in a studio"
	}
	return "some as in a hall, some as in a studio"
}

func panicCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "panic",
		Short: "silence everything at once",
		Args:  usage.Exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			c, err := client(p)
			if err != nil {
				return err
			}
			s, err := c.Panic()
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(s)
			}
			p.Sayf("silenced")
			return nil
		},
	}
}

func statusCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "status",
		Short: "tell what the running swellbox is doing",
		Args:  usage.Exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			c, err := client(p)
			if err != nil {
				return err
			}
			s, err := c.Status()
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(s)
			}
			printStatus(p, s)
			return nil
		},
	}
}

func printStatus(p *program.Program, s live.Status) {
	fmt.Fprintln(p.Out, layout.Wrap(fmt.Sprintf("playing %s, standing %s, for %v: %s in, %d out, delay %g ms",
		s.Side, inPlace(s.Place), time.Duration(s.UptimeS*float64(time.Second)).Round(time.Second), tell.Counted(s.NotesIn, "note"), s.NotesOut, s.DelayMS), p.Width(), "  "))
	if s.Position != nil {
		p.Sayf("bar %d, beat %.1f", s.Position.Bar, s.Position.Beat)
	}
	printForeknowledge(p, &s)
	p.Warn(s.Warnings)
	ports := layout.Table{Columns: []layout.Column{{}, {Words: true}, {Words: true}, {Right: true}}}
	for i, in := range s.Inputs {
		ports.Row(fmt.Sprintf("input %d", i+1), in.Name, condition(in), tell.Counted(in.Messages, "message"))
	}
	for i, out := range s.Outputs {
		ports.Row(fmt.Sprintf("output %d", i+1), out.Name, condition(out), tell.Counted(out.Messages, "message"))
	}
	ports.Write(p.Out, p.Width())
	if len(s.Parts) == 0 {
		p.Sayf("no part has played a note yet")
		return
	}
	parts := layout.Table{Columns: []layout.Column{
		{Title: "part", Words: true}, {Title: "plays as", Words: true}, {Title: "side"}, {Title: "notes", Right: true},
		{Title: "sounding", Right: true}, {Title: "found by", Words: true},
	}}
	for i := range s.Parts {
		part := &s.Parts[i]
		parts.Row(part.Name, asWhat(&part.PartReport), part.Side, fmt.Sprint(part.Notes), fmt.Sprint(part.Sounding), part.Why)
	}
	fmt.Fprintln(p.Out)
	parts.Write(p.Out, p.Width())
}

// condition says in words whether a port works.
func condition(s live.PortStatus) string {
	switch {
	case !s.Open:
		return "lost, waiting"
	case s.Connected == nil:
		return "open"
	case *s.Connected == 0:
		return "open, nobody connected"
	}
	return fmt.Sprintf("open, %d connected", *s.Connected)
}

// printForeknowledge says what the running daemon knows of what it plays.
func printForeknowledge(p *program.Program, s *live.Status) {
	f := &s.Foreknowledge
	if f.LookaheadMS > 0 {
		when := "notes sound at once"
		if s.DelayMS > 0 {
			when = fmt.Sprintf("notes sound %.0f ms later", s.DelayMS)
		}
		p.Sayf("lookahead %g ms; the transport %s (%s), so %s", f.LookaheadMS, f.Transport, f.Why, when)
	}
	if f.BeatBy != "" && !f.Found {
		p.Sayf("beat by %s: %.0f a minute, %.0f%% sure", f.BeatBy, f.BeatsMin, 100*f.BeatSure)
	}
	switch {
	case f.Score == "":
	case !f.Found:
		p.Sayf("score %s: not found, playing without it", f.Score)
	case f.Pace == 0:
		p.Sayf("score %s: found, but in more places than one", f.Score)
	default:
		p.Sayf("score %s: found, %.0f%% sure, at %.2f times the written tempo", f.Score, 100*f.Sure, f.Pace)
	}
}

func lookaheadCommand(p *program.Program) *cobra.Command {
	return &cobra.Command{
		Use:   "lookahead MS",
		Short: "choose by how much later the running swellbox plays, to know what follows",
		Long: `lookahead has all that comes in sound later by so many milliseconds, 0 to 3000, raw
and shaped alike, so that the players know what follows: how long a note is, where a
phrase ends. What sounds glides there without a gap. Notes that are tried or typed one
by one while nothing plays sound at once all the same.`,
		Args: usage.Exactly(1, "one number of milliseconds"),
		RunE: func(_ *cobra.Command, args []string) error {
			most := int(engine.MaxLookahead.Milliseconds())
			n, err := strconv.Atoi(args[0])
			if err != nil || n < 0 || n > most {
				return fmt.Errorf("expected 0 to %d milliseconds, found %q: %w", most, args[0], usage.ErrUsage)
			}
			c, err := client(p)
			if err != nil {
				return err
			}
			s, err := c.SetLookahead(time.Duration(n) * time.Millisecond)
			if err != nil {
				return err
			}
			if p.Settings.JSON {
				return p.PrintJSON(s)
			}
			p.Sayf("lookahead %g ms", s.Foreknowledge.LookaheadMS)
			return nil
		},
	}
}
