package main

import (
	"github.com/spf13/cobra"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/usage"
	"swellbox/proxy/layout"
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
