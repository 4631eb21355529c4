package main

import (
	"fmt"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"swellbox/expr"
	"swellbox/proxy"
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
					list = []proxy.PortInfo{}
				}
				return p.printJSON(list)
			}
			if len(list) == 0 {
				fmt.Fprintln(p.out, "there are no MIDI ports; swellbox live makes its own, where the system has virtual ones")
			}
			w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
			for _, info := range list {
				use := "--out"
				switch {
				case info.In && info.Out:
					use = "--in --out"
				case info.In:
					use = "--in"
				}
				fmt.Fprintf(w, "%s\t%s\n", info.Name, use)
			}
			return w.Flush()
		},
	}
}

// client speaks to the running daemon.
func (p *program) client() (*proxy.Client, error) {
	path, err := p.settings.controlPath()
	if err != nil {
		return nil, err
	}
	return proxy.NewClient(path), nil
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
			side, err := proxy.ParseSide(args[0])
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
			fmt.Fprintf(p.out, "playing %s\n", s.Side)
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
			sense, err := proxy.ParseSense(args[0])
			if err != nil {
				return fmt.Errorf("%w: %w", err, errUsage)
			}
			c, err := p.client()
			if err != nil {
				return err
			}
			s, err := c.SetSense(sense, args[1:])
			if err != nil {
				return err
			}
			if p.settings.JSON {
				return p.printJSON(s)
			}
			fmt.Fprintf(p.out, "standing %s\n", inPlace(s.Sense))
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
			fmt.Fprintln(p.out, "silenced")
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

func (p *program) printStatus(s proxy.Status) {
	fmt.Fprintf(p.out, "playing %s, %s, for %v, %d notes in, %d out, delay %g ms\n",
		s.Side, s.Sense, time.Duration(s.UptimeS*float64(time.Second)).Round(time.Second), s.NotesIn, s.NotesOut, s.DelayMS)
	if s.Position != nil {
		fmt.Fprintf(p.out, "bar %d, beat %.1f\n", s.Position.Bar, s.Position.Beat)
	}
	p.printForeknowledge(&s)
	p.warn(s.Warnings)
	w := tabwriter.NewWriter(p.out, 0, 0, 2, ' ', 0)
	for i, in := range s.Inputs {
		fmt.Fprintf(w, "input %d\t%s\t%s\t%d messages\n", i+1, in.Name, condition(in), in.Messages)
	}
	for i, out := range s.Outputs {
		fmt.Fprintf(w, "output %d\t%s\t%s\t%d messages\n", i+1, out.Name, condition(out), out.Messages)
	}
	w.Flush()
	if len(s.Parts) == 0 {
		fmt.Fprintln(p.out, "no part has played a note yet")
		return
	}
	fmt.Fprintln(w, "part\tprofile\tplays\tnotes\tsounding\tfound by")
	for _, part := range s.Parts {
		fmt.Fprintf(w, "%s\t%s\t%s\t%d\t%d\t%s\n", part.Name, withOrigin(part.PartReport), part.Side, part.Notes, part.Sounding, part.Why)
	}
	w.Flush()
}

// condition says in words whether a port works.
func condition(s proxy.PortStatus) string {
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
