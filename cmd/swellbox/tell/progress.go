package tell

import (
	"fmt"
	"time"
)

// Progress tells how far something is: on a terminal on one line that is written over,
// elsewhere, as in a log, by a line at the start and one at the end. With --json these
// are objects, {"progress": …}. end takes the error with which it ended.
func (o *Output) Progress(what string) (show func(done, length time.Duration), end func(error)) {
	if o.AsJSON || !isTerminal(o.Err) {
		start := time.Now()
		o.sayProgress(what)
		return func(_, _ time.Duration) {}, func(err error) {
			if err != nil {
				return // which is said elsewhere
			}
			o.sayProgress(fmt.Sprintf("%s: done in %.1f s", what, time.Since(start).Seconds()))
		}
	}
	last := -1
	show = func(done, length time.Duration) {
		if percent := int(100 * done / length); percent/10 > last {
			last = percent / 10
			fmt.Fprintf(o.Err, "\r%-14s %3d %%", what, percent)
		}
	}
	return show, func(error) { fmt.Fprintln(o.Err) }
}

func (o *Output) sayProgress(text string) {
	if o.AsJSON {
		o.sayJSON(struct {
			Progress string `json:"progress"`
		}{text})
		return
	}
	fmt.Fprintln(o.Err, text)
}
