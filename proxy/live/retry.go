package live

import (
	"slices"
	"time"

	"swellbox/proxy/perform"
)

// What makes music a piece of its own: the transport starts, or nothing was heard for so
// long. What failed in one piece is tried again in the next. Ours.
const betweenPieces = 10 * time.Second

// rests reports whether nothing has come in for as long as lies between pieces, and nothing sounds. d.mu is held.
func (d *Daemon) rests() bool {
	if now := d.now(); now-d.noteAt < betweenPieces || d.stage.PlayedOut() > now {
		return false
	}
	for i := range len(d.outlets) * 16 {
		if d.stage.Sounding(i/16, i%16) > 0 {
			return false
		}
	}
	return true
}

// ails reports whether anything has failed. d.mu is held.
func (d *Daemon) ails() bool {
	if d.broken != nil || d.unfollowed != nil || d.stage.Lost() != nil {
		return true
	}
	return slices.ContainsFunc(d.stage.Parts, func(p perform.Part) bool { return d.stage.Fault(p.Port, p.Channel) != nil })
}

// retry has what failed be tried again, for another piece. d.mu is held.
func (d *Daemon) retry() {
	if !d.ails() {
		return
	}
	d.try(func() {
		if d.broken != nil {
			d.revive()
		}
		d.stage.Retry()
		if d.unfollowed != nil && d.cfg.Score != nil {
			d.follow(d.cfg.Score)
		}
	})
	if !d.ails() {
		d.notices = append(d.notices, "what failed is tried again with this piece")
	}
}

// revive puts an engine in the place of the one that failed. d.mu is held.
func (d *Daemon) revive() {
	d.stage.Revive(d.now(), func() {
		if d.cfg.Score != nil {
			d.follow(d.cfg.Score)
		}
	})
	d.broken = nil
}
