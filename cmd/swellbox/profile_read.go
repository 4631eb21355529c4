package main

import "github.com/spf13/cobra"

func (p *program) profileReadCommands() []*cobra.Command { return nil }
