package main

import (
	"fmt"
	"time"
)

// progress tells how far something is: on a terminal on one line that is written over,
// elsewhere, as in a log, by a line at the start and one at the end. With --json these
// are objects, {"progress": …}. end takes the error with which it ended.
func (p *program) progress(what string) (show func(done, length time.Duration), end func(error)) {
	if p.json || !isTerminal(p.err) {
		start := time.Now()
		p.sayProgress(what)
		return func(_, _ time.Duration) {}, func(err error) {
			if err != nil {
				return // which is said elsewhere
			}
			p.sayProgress(fmt.Sprintf("%s: done in %.1f s", what, time.Since(start).Seconds()))
		}
	}
	last := -1
	show = func(done, length time.Duration) {
		if percent := int(100 * done / length); percent/10 > last {
			last = percent / 10
			fmt.Fprintf(p.err, "\r%-14s %3d %%", what, percent)
		}
	}
	return show, func(error) { fmt.Fprintln(p.err) }
}

func (p *program) sayProgress(text string) {
	if p.json {
		p.sayJSON(struct {
			Progress string `json:"progress"`
		}{text})
		return
	}
	fmt.Fprintln(p.err, text)
}
