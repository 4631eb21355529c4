package main

import "github.com/spf13/cobra"

func (p *program) profileShareCommands() []*cobra.Command { return nil }
