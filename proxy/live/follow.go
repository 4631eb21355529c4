package live

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"swellbox/proxy/perform"
)

// Documents is what a daemon follows while it plays.
type Documents struct {
	// Folders are asked at every look which they are.
	Folders func() []string
	// Load may give a cast and an error together: what could be read, and what could
	// not. With no cast the daemon plays on as it did.
	Load func() (*perform.Cast, error)
	// Remark gives what is to be said of a cast that plays all the same, a sentence each; it
	// may be nil.
	Remark func(*perform.Cast) []string
	// Taken is called after each change, when it already plays; it may be nil.
	Taken func()
}

// Follow plays on with what the documents say whenever something in their folders
// changes, until the daemon is closed. What is wrong is logged, and shown in the
// status until it is mended.
func (d *Daemon) Follow(docs Documents) {
	w := WatchFolders(docs.Folders, func() {
		d.reload(&docs)
		if docs.Taken != nil {
			docs.Taken()
		}
	})
	d.closeWith(w)
}

// closeWith has a watch end with the daemon.
func (d *Daemon) closeWith(w *FolderWatch) {
	d.watched.Add(1)
	go func() {
		defer d.watched.Done()
		<-d.stop
		w.Close()
	}()
}

// Told shows in the status, until the next change, what could not be read of the documents (nil:
// all could) and what is odd about those that play; and logs what is new of that.
func (d *Daemon) Told(unread error, remarks []string) {
	fresh := d.told.take(unread, remarks) // first, so that who reads the log finds it in the status
	if unread != nil {
		d.log.Warn().Err(unread).Msg("not all profiles taken; playing with the last good ones")
	}
	for _, r := range fresh {
		d.log.Warn().Msg(r)
	}
}

// told is what was last said of the documents. It may be asked and changed at once.
type told struct{ unread, remarks atomic.Pointer[[]string] }

// take takes the place of what was said by something else, and gives the remarks that are new.
func (t *told) take(unread error, remarks []string) (fresh []string) {
	var problems []string
	if unread != nil {
		problems = strings.Split(unread.Error(), "\n")
	}
	t.unread.Store(&problems)
	was := t.remarks.Swap(&remarks)
	for _, r := range remarks {
		if was == nil || !slices.Contains(*was, r) {
			fresh = append(fresh, r)
		}
	}
	return fresh
}

// warnings are what was last said, as the status says it.
func (t *told) warnings() (w []string) {
	if problems := t.unread.Load(); problems != nil {
		for _, p := range *problems {
			w = append(w, fmt.Sprintf("not taken: %s", p))
		}
	}
	if remarks := t.remarks.Load(); remarks != nil {
		w = append(w, *remarks...)
	}
	return w
}

func (d *Daemon) reload(docs *Documents) {
	c, err := docs.Load()
	var changed []perform.Part
	var remarks []string
	if c != nil && c.Library != nil {
		var errSeats error
		changed, errSeats = d.Recast(c)
		err = errors.Join(err, errSeats)
		if docs.Remark != nil {
			remarks = docs.Remark(c)
		}
	}
	d.Told(err, remarks)
	for _, p := range changed {
		d.log.Info().Str("part", p.Name).Str("profile", p.Profile).Msg("profile taken")
	}
}

// Recast plays on with another cast: edited profiles, another seating. It reports the
// parts that changed. An error names what could not be had; those parts play on as
// they did. The ensemble's headroom and ceiling stay as they were at the start.
func (d *Daemon) Recast(c *perform.Cast) (changed []perform.Part, err error) {
	return orders{d.performance}.recast(c)
}
