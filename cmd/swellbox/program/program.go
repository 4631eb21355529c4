// Package program is one run of the command line: its settings, output and ports, and who plays a
// piece by them. It knows no command; each command is a function of package main, or of a package of
// its own beside it, that takes a [Program].
package program

import (
	"sync/atomic"

	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/ports"
)

// Program is one run of the command line, with what a test may replace.
type Program struct {
	tell.Output
	Settings settings.Settings
	System   func() ports.System
	Endless  atomic.Bool // what runs goes on until Ctrl-C, which is then no failure
	Unhelped error       // why what --help was asked for could not be explained
}
