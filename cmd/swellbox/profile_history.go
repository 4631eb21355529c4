package main

import "github.com/spf13/cobra"

func (p *program) profileHistoryCommands() []*cobra.Command { return nil }
