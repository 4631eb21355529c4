package main

import (
	"fmt"
	"os"
	"time"
)

// progress tells how far something is: on a terminal on one line that is written over,
// elsewhere, as in a log, by a line at the start and one at the end.
func (p *program) progress(what string) (show func(done, length time.Duration), end func()) {
	if !isTerminal(p.err) {
		start := time.Now()
		fmt.Fprintf(p.err, "%s\n", what)
		return func(_, _ time.Duration) {}, func() {
			fmt.Fprintf(p.err, "%s: done in %.1f s\n", what, time.Since(start).Seconds())
		}
	}
	last := -1
	show = func(done, length time.Duration) {
		if percent := int(100 * done / length); percent/10 > last {
			last = percent / 10
			fmt.Fprintf(p.err, "\r%-14s %3d %%", what, percent)
		}
	}
	return show, func() { fmt.Fprintln(p.err) }
}

// isTerminal reports whether somebody may be watching.
func isTerminal(w any) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0 && os.Getenv("TERM") != "dumb"
}
