package proxy

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"swellbox/expr"
	"swellbox/expr/engine"
	"swellbox/profiles"
	"swellbox/proxy/formats/smf"
)

// caught runs f, and returns what it panicked with, or nil.
func caught(f func()) (reason any) {
	defer func() { reason = recover() }()
	f()
	return nil
}

// errUnseatable is of a part that is not seated because finding out who plays it failed.
var errUnseatable = errors.New("nobody can be found to play the part")

// tryChoose is Choose, and an error should it fail.
func (c *Cast) tryChoose(h profiles.Hint) (part Part, profile *expr.Profile, err error) {
	if reason := caught(func() { part, profile, err = c.Choose(h) }); reason != nil {
		return Part{}, nil, fmt.Errorf("port %d channel %d: %w: %v; it plays raw", h.Port, h.Channel, errUnseatable, reason)
	}
	return part, profile, err
}

// score is the timeline's as the manner knows it. What fails in it is said in the warnings, and is
// not known: what the written score adds, or the score as a whole.
func (m *Manner) score(t *Timeline) (score *expr.Score, warnings []string) {
	reason := caught(func() {
		m.Trial.Of(expr.OfScore)
		var warning string
		if score, warning = t.Known(m.Piece); warning != "" {
			warnings = append(warnings, warning)
		}
	})
	if reason == nil {
		return score, warnings
	}
	score, warnings = nil, append(warnings, expr.OfScore.Loss(reason).Error())
	if m.Piece != nil {
		_ = caught(func() { score = t.Score() })
	}
	return score, warnings
}

// asItCame writes a piece of a file as it came in, when all else has failed; it is the piece of
// a track, in format 2, or of all. before is how many notes came in with the pieces before it.
func asItCame(f, out *smf.File, t *Timeline, track int, report *Report, before int) {
	notes := 0
	for i := range t.Events {
		if t.Events[i].IsNoteOn() {
			notes++
		}
	}
	for i := range out.Tracks {
		if f.Format != 2 || i == track {
			out.Tracks[i].Events = slices.Clone(f.Tracks[i].Events)
		}
	}
	report.NotesIn, report.NotesOut = before+notes, report.NotesOut+notes
}

// What makes music a piece of its own: the transport starts, or nothing was heard for so
// long. What failed in one piece is tried again in the next. Ours.
const betweenPieces = 10 * time.Second

// rests reports whether nothing has come in for as long as lies between pieces, and nothing sounds. d.mu is held.
func (d *Daemon) rests() bool {
	if now := d.now(); now-d.noteAt < betweenPieces || d.stage.engine.PlayedOut() > now {
		return false
	}
	for i := range len(d.outlets) * 16 {
		if d.stage.desk.sounding(i) > 0 {
			return false
		}
	}
	return true
}

// ails reports whether anything has failed. d.mu is held.
func (d *Daemon) ails() bool {
	if d.broken != nil || d.unfollowed != nil || d.stage.engine.Lost() != nil {
		return true
	}
	return slices.ContainsFunc(d.stage.Parts, func(p Part) bool { return d.stage.engine.Fault(p.Port, p.Channel) != nil })
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
		d.stage.engine.Retry()
		if d.unfollowed != nil && d.cfg.Score != nil {
			d.follow(d.cfg.Score)
		}
	})
	if !d.ails() {
		d.notices = append(d.notices, "what failed is tried again with this piece")
	}
}

// lookout is what a bypass has to give back: how far ahead was to be seen, who was on which side, and how
// each part stood.
type lookout struct {
	lookahead time.Duration
	sides     []expr.Side
	senses    []expr.Sense
}

// remember keeps what a bypass takes away. d.mu is held.
func (d *Daemon) remember(failed *engine.Engine) {
	d.before = lookout{}
	d.before.lookahead, _ = failed.Lookahead()
	d.forAll(func(port, channel int) {
		d.before.sides = append(d.before.sides, d.stage.Side(port, channel))
		d.before.senses = append(d.before.senses, failed.Sense(port, channel))
	})
}

// revive puts an engine in the place of the one that failed and seats all parts again. It is
// told what the notation program has said before, and what waits waits on. d.mu is held.
func (d *Daemon) revive() {
	s, now := d.stage, d.now()
	failed, e := s.engine, engine.New(s.cfg)
	failed.Ready(now, s.desk.take)
	e.SetLookahead(0)
	for i := range s.desk.strips {
		strip := &s.desk.strips[i]
		told := strip.said[0]
		if s.desk.matchDB != 0 {
			told.cc[ccVolume] = strip.volume
		}
		told.each(func(status, d1, d2 byte) { e.Push(channelMessage(now, i, status, d1, d2)) })
		strip.said[1] = strip.said[0]
		if s.desk.matchDB != 0 {
			strip.said[1].cc[ccVolume] = strip.volume
		}
	}
	e.Pull(now, func(*expr.Event) {}) // the port has been told
	e.SetLookahead(d.before.lookahead)
	s.engine, d.broken = e, nil
	d.forAll(func(port, channel int) { e.SetSense(port, channel, d.before.senses[port*16+channel]) })
	for _, p := range s.Parts {
		profile, err := s.cast.of(p)
		if err == nil {
			err = s.Seat(p.Port, p.Channel, profile, p.Players)
		}
		if err != nil {
			d.notices = append(d.notices, err.Error())
		}
	}
	if d.cfg.Score != nil {
		d.follow(d.cfg.Score)
	}
	failed.Waiting(func(ev *expr.Event) { e.Push(*ev) })
	d.forAll(func(port, channel int) { s.Switch(port, channel, d.before.sides[port*16+channel]) })
}

// channelMessage is a message of a channel, by number.
func channelMessage(at time.Duration, channel int, status, d1, d2 byte) expr.Event {
	e := expr.Short(at, uint16(channel/16), status|byte(channel%16), d1, d2)
	if status == 0xC0 || status == 0xD0 {
		e.Len = 2
	}
	return e
}
