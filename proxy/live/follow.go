package live

import (
	"errors"
	"fmt"
	"strings"

	"swellbox/proxy/perform"
)

// Documents is what a daemon follows while it plays.
type Documents struct {
	// Folders are asked at every look which they are.
	Folders func() []string
	// Load may give a cast and an error together: what could be read, and what could
	// not. With no cast the daemon plays on as it did.
	Load func() (*perform.Cast, error)
	// Taken is called after each change, when it already plays; it may be nil.
	Taken func()
}

// Follow plays on with what the documents say whenever something in their folders
// changes, until the daemon is closed. What is wrong is logged, and shown in the
// status until it is mended.
func (d *Daemon) Follow(docs Documents) {
	w := WatchFolders(docs.Folders, func() {
		d.reload(docs.Load)
		if docs.Taken != nil {
			docs.Taken()
		}
	})
	d.watched.Add(1)
	go func() {
		defer d.watched.Done()
		<-d.stop
		w.Close()
	}()
}

// Unread shows in the status, until the next change, what could not be read; nil: all could.
func (d *Daemon) Unread(err error) {
	if err == nil {
		d.unread.Store(nil)
		return
	}
	problems := strings.Split(err.Error(), "\n")
	d.unread.Store(&problems)
	d.cfg.Log.Warn().Err(err).Msg("not all profiles taken; playing with the last good ones")
}

func (d *Daemon) reload(load func() (*perform.Cast, error)) {
	c, err := load()
	var changed []perform.Part
	if c != nil && c.Library != nil {
		var errSeats error
		changed, errSeats = d.Recast(c)
		err = errors.Join(err, errSeats)
	}
	d.Unread(err)
	for _, p := range changed {
		d.cfg.Log.Info().Str("part", p.Name).Str("profile", p.Profile).Msg("profile taken")
	}
}

// unreadWarnings are the warnings of what could not be read at the last change.
func (d *Daemon) unreadWarnings() (w []string) {
	if problems := d.unread.Load(); problems != nil {
		for _, p := range *problems {
			w = append(w, fmt.Sprintf("not taken: %s", p))
		}
	}
	return w
}

// Recast plays on with another cast: edited profiles, another seating. It reports the
// parts that changed. An error names what could not be had; those parts play on as
// they did. The ensemble's headroom and ceiling stay as they were at the start.
func (d *Daemon) Recast(c *perform.Cast) (changed []perform.Part, err error) {
	d.mu.Lock()
	before := d.stage.Snapshot()
	d.mu.Unlock()
	plan, errPlan := before.Plan(c)
	d.locked(func() { changed, err = d.stage.Recast(plan) })
	return changed, errors.Join(errPlan, err)
}
