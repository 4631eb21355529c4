package tell

import (
	"cmp"
	"fmt"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/term"

	"swellbox/proxy/layout"
)

// page is the width where there is no terminal, in columns.
const page = 80

// Width is how many columns what is printed may take: as many as the environment
// variable COLUMNS says, else as the terminal has, else a page's.
func (o *Output) Width() int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		return max(n, layout.Narrowest)
	}
	if f, ok := o.Out.(*os.File); ok {
		if n, _, err := term.GetSize(int(f.Fd())); err == nil && n > 0 {
			return max(n, layout.Narrowest)
		}
	}
	return page
}

// Sayf prints a sentence on a line of its own, or on several where it has no room.
func (o *Output) Sayf(format string, args ...any) error {
	text := fmt.Sprintf(format, args...)
	if utf8.RuneCountInString(text) > o.Width() {
		text = layout.Wrap(text, o.Width(), "  ")
	}
	_, err := fmt.Fprintln(o.Out, text)
	return err
}

// AsciiOnly reports whether the user's locale is one without the characters that
// draw lines. The order is that of POSIX, chapter 8.2.
func AsciiOnly() bool {
	locale := strings.ToLower(cmp.Or(os.Getenv("LC_ALL"), os.Getenv("LC_CTYPE"), os.Getenv("LANG")))
	return locale != "" && !strings.Contains(locale, "utf-8") && !strings.Contains(locale, "utf8")
}

// isTerminal reports whether somebody may be watching.
func isTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd())) && os.Getenv("TERM") != "dumb"
}

// RememberTerminal gives what brings the terminal back to how it is now: a password that
// is being asked for has switched its echo off.
func (o *Output) RememberTerminal() (restore func()) {
	f, ok := o.In.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func() {}
	}
	state, err := term.GetState(int(f.Fd()))
	if err != nil {
		return func() {}
	}
	return func() { term.Restore(int(f.Fd()), state) }
}
