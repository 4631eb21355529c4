package main

import (
	"fmt"
	"io"

	"swellbox/expr"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/draw"
)

// curves draws a profile on the terminal, as a picture into a file, or both.
func (p *program) curves(profile *expr.Profile, onTerminal bool, svg string) error {
	if svg != "" {
		err := atomicfile.Write(svg, func(w io.Writer) error { return draw.SVG(w, profile) })
		if err != nil {
			return err
		}
		fmt.Fprintf(p.err, "written to %s\n", svg)
	}
	if !onTerminal {
		return nil
	}
	if asciiOnly() {
		return draw.TerminalASCII(p.out, profile, p.width())
	}
	return draw.Terminal(p.out, profile, p.width())
}
