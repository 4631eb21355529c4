package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

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
		return draw.TerminalASCII(p.out, profile, columns(p.out))
	}
	return draw.Terminal(p.out, profile, columns(p.out))
}

// columns is the width of the terminal, or of a page where there is none.
func columns(w io.Writer) int {
	const page = 80
	if f, ok := w.(*os.File); ok {
		if width, _, err := term.GetSize(int(f.Fd())); err == nil {
			return width
		}
	}
	return page
}

// asciiOnly reports whether the user's locale is one without the characters that
// draw lines. The order is that of POSIX, chapter 8.2.
func asciiOnly() bool {
	locale := strings.ToLower(cmp.Or(os.Getenv("LC_ALL"), os.Getenv("LC_CTYPE"), os.Getenv("LANG")))
	return locale != "" && !strings.Contains(locale, "utf-8") && !strings.Contains(locale, "utf8")
}
