package main

import "github.com/spf13/cobra"

func (p *program) profileWriteCommands() []*cobra.Command { return nil }
