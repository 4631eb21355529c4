package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"swellbox/expr"
	"swellbox/proxy/control"
	"swellbox/proxy/layout"
	"swellbox/proxy/live"
	"swellbox/proxy/ports"
)

func (p *program) portsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "ports",
		Short: "list the MIDI ports of this machine",
		Args:  exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			system := p.system()
			defer system.Close()
			list, err := system.Ports()
			if err != nil {
				return err
			}
			if p.settings.JSON {
				if list == nil {
					list = []ports.Info{}
				}
				return p.printJSON(list)
			}
			if len(list) == 0 {
				p.sayf("there are no MIDI ports; swellbox live makes its own, where the system has virtual ones")
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
			return t.Write(p.out, p.width())
		},
	}
}

// client speaks to the running daemon.
func (p *program) client() (*control.Client, error) {
	path, err := p.settings.controlPath()
	if err != nil {
		return nil, err
	}
	return control.NewClient(path), nil
}

func (p *program) switchCommand() *cobra.Command {
	return &cobra.Command{
		Use:       "switch raw|shaped [PART…]",
		Short:     "choose what the running swellbox plays, for all parts or those named",
		ValidArgs: []string{"raw", "shaped"},
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("say raw or shaped: %w", errUsage)
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			side, err := control.ParseSide(args[0])
			if err != nil {
				return fmt.Errorf("%w: %w", err, errUsage)
			}
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.Switch(side, args[1:])
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			p.sayf("playing %s", s.Side)
			return nil
		},
	}
}

func (p *program) placeCommand() *cobra.Command {
	return &cobra.Command{
		Use:       "place hall|studio [PART…]",
		Aliases:   []string{"sense"},
		Short:     "choose whether the parts of the running swellbox stand in a hall or a studio",
		Long:      `place has the parts of the running swellbox, all or those named, stand as on a stage in a hall, where the brass rule a tutti and a low flute vanishes behind trombones, or as in a studio, where they are recorded apart and each is as loud as its own mark. What sounds moves there gradually. Turn the monitors down first.`,
		ValidArgs: []string{"hall", "studio"},
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fmt.Errorf("say hall or studio: %w", errUsage)
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			place, err := control.ParsePlace(args[0])
			if err != nil {
				return fmt.Errorf("%w: %w", err, errUsage)
			}
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.SetPlace(place, args[1:])
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			p.sayf("standing %s", inPlace(s.Place))
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

func (p *program) panicCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "panic",
		Short: "silence everything at once",
		Args:  exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.Panic()
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			p.sayf("silenced")
			return nil
		},
	}
}

func (p *program) statusCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "status",
		Short: "tell what the running swellbox is doing",
		Args:  exactly(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.Status()
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			p.printStatus(s)
			return nil
		},
	}
}

func (p *program) printStatus(s live.Status) {
	fmt.Fprintln(p.out, layout.Wrap(fmt.Sprintf("playing %s, standing %s, for %v: %s in, %d out, delay %g ms",
		s.Side, inPlace(s.Place), time.Duration(s.UptimeS*float64(time.Second)).Round(time.Second), counted(s.NotesIn, "note"), s.NotesOut, s.DelayMS), p.width(), "  "))
	if s.Position != nil {
		p.sayf("bar %d, beat %.1f", s.Position.Bar, s.Position.Beat)
	}
	p.printForeknowledge(&s)
	p.warn(s.Warnings)
	ports := layout.Table{Columns: []layout.Column{{}, {Words: true}, {Words: true}, {Right: true}}}
	for i, in := range s.Inputs {
		ports.Row(fmt.Sprintf("input %d", i+1), in.Name, condition(in), counted(in.Messages, "message"))
	}
	for i, out := range s.Outputs {
		ports.Row(fmt.Sprintf("output %d", i+1), out.Name, condition(out), counted(out.Messages, "message"))
	}
	ports.Write(p.out, p.width())
	if len(s.Parts) == 0 {
		p.sayf("no part has played a note yet")
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
	fmt.Fprintln(p.out)
	parts.Write(p.out, p.width())
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
