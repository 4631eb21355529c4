package profile

import (
	"fmt"
	"io"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/tell"
	"swellbox/expr"
	"swellbox/profiles/atomicfile"
	"swellbox/profiles/draw"
)

// curves draws a profile on the terminal, as a picture into a file, or both.
func curves(p *program.Program, profile *expr.Profile, onTerminal bool, svg string) error {
	if svg != "" {
		err := atomicfile.Write(svg, func(w io.Writer) error { return draw.SVG(w, profile) })
		if err != nil {
			return err
		}
		fmt.Fprintf(p.Err, "written to %s\n", svg)
	}
	if !onTerminal {
		return nil
	}
	if tell.AsciiOnly() {
		return draw.TerminalASCII(p.Out, profile, p.Width())
	}
	return draw.Terminal(p.Out, profile, p.Width())
}
