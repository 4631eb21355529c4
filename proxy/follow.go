package proxy

import (
	"errors"
	"fmt"
	"strings"
)

// Follow plays on with what load gives whenever something in the folders changes,
// until the daemon is closed. load may give a cast and an error together: what could
// be read, and what could not. With no cast the daemon plays on as it did; what is
// wrong is logged, and shown in the status until it is mended.
func (d *Daemon) Follow(folders func() []string, load func() (*Cast, error)) {
	w := WatchFolders(folders, func() { d.reload(load) })
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

func (d *Daemon) reload(load func() (*Cast, error)) {
	c, err := load()
	var changed []Part
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
