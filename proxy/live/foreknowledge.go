package live

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/beat"
	"swellbox/expr/engine"
	"swellbox/proxy/perform"
)

// Foreknowledge is what a daemon knows of what it is going to play.
type Foreknowledge struct {
	// Grade is "score" if the music is found in a score, "lookahead" if it is heard before
	// it sounds, and else "none".
	Grade       string  `json:"grade"`
	LookaheadMS float64 `json:"lookahead_ms"`    // as asked for; Status.DelayMS is what it is now
	Transport   string  `json:"transport"`       // "runs" or "stands", when single notes sound at once
	Why         string  `json:"why"`             // by what that is told, in plain words
	Score       string  `json:"score,omitempty"` // file name of the score, if there is one
	Found       bool    `json:"found"`           // the latest notes were found in the score
	Sure        float64 `json:"sure"`            // probability of Status.Position, 0..1
	Pace        float64 `json:"pace"`            // live by written tempo: 2 is twice as fast; 0 if it is not known

	BeatBy   string  `json:"beat_by,omitempty"` // "clock" or "ear": by what the beat is told where no score tells it
	BeatsMin float64 `json:"beats_a_minute,omitempty"`
	BeatSure float64 `json:"beat_sure,omitempty"` // probability that this is the beat, 0..1
}

// MaxLookahead is the longest lookahead of a daemon.
const MaxLookahead = engine.MaxLookahead

// SetLookahead delays all that comes in from now on by so much, 0 to [MaxLookahead]:
// while something sounds, it glides there. A daemon whose engine has failed keeps the
// delay that it had.
func (d *Daemon) SetLookahead(l time.Duration) error {
	if err := perform.CheckLookahead(l); err != nil {
		return err
	}
	var err error
	d.locked(func() {
		if err = d.broken; err == nil {
			d.stage.SetLookahead(l)
		}
	})
	return err
}

// delay is by how much later what comes in now sounds. After music has ended the engine
// keeps its delay, but a single note would not wait. d.mu is held.
func (d *Daemon) delay() time.Duration {
	s := d.stage
	if state, _ := s.Transport(); state == beat.Stands && s.PlayedOut() <= d.now() {
		return 0
	}
	_, now := s.Lookahead()
	return now
}

// heard is when what is heard now came in.
func (d *Daemon) heard() time.Duration {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.now() - d.delay()
}

// untilPlayedOut is how long it takes until all that has come in has sounded.
func (d *Daemon) untilPlayedOut() time.Duration {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.stage.PlayedOut() - d.now()
}

// foreknowledge adds to a status what the daemon knows of the piece. d.mu is held.
func (d *Daemon) foreknowledge(s *Status) {
	asked, _ := d.stage.Lookahead()
	state, why := d.stage.Transport()
	delay := d.delay()
	s.DelayMS = inMS(delay)
	f := &s.Foreknowledge
	f.LookaheadMS, f.Transport, f.Why = inMS(asked), state.String(), string(why)
	pulse := d.stage.Beat()
	f.BeatBy, f.BeatsMin, f.BeatSure = pulse.By, pulse.PerMin, pulse.Sure
	p := &d.piece
	switch f.Found = p.isFound(); {
	case f.Found:
		f.Grade = expr.Scored.String()
	case delay > 0:
		f.Grade = expr.Ahead.String()
	default:
		f.Grade = expr.Causal.String()
	}
	if p.score == nil {
		return
	}
	f.Score = d.cfg.ScoreName
	if p.follower == nil {
		f.Sure, f.Pace = 1, 1
		return
	}
	defer d.unfollow()
	if where, ok := p.at(d.now()-delay, d.now()); ok {
		s.Position = &Position{Bar: where.Bar, Beat: where.Beat}
		f.Sure, f.Pace = where.Sure, where.Tempo
	}
}

func inMS(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// mode is what the log says of the foreknowledge when it has changed: whether notes
// wait, and whether the score is found. key tells modes apart, and what is the same
// for another reason is the same.
type mode struct{ key, words string }

// waitingMode is whether notes wait in the lookahead. d.mu is held.
func (d *Daemon) waitingMode() mode {
	asked, _ := d.stage.Lookahead()
	state, why := d.stage.Transport()
	switch {
	case asked == 0:
		return mode{"none", "no lookahead: notes sound at once"}
	case state == beat.Stands:
		return mode{"stands", fmt.Sprintf("notes sound at once, in spite of the lookahead: %s", why)}
	}
	return mode{fmt.Sprint(asked), fmt.Sprintf("notes sound %d ms later: %s", asked.Milliseconds(), why)}
}

// enoughNotes is how many notes tell that a score is not found.
const enoughNotes = 8

// scoreMode is whether the score is found; nothing as long as nobody can tell. d.mu is held.
func (d *Daemon) scoreMode() mode {
	switch p := &d.piece; {
	case p.follower == nil || p.heard == 0:
	case p.isFound():
		return mode{"found", "score found"}
	case p.heard == enoughNotes:
		return mode{"lost", "score not found; playing without it"}
	}
	return mode{}
}

// news says a mode once: when it has been the same at so many looks in a row and is not
// what was said last.
type news struct {
	looks int
	seen  string
	same  int // looks at which it was as seen
	said  string
}

func (n *news) of(m mode) (words string) {
	if m.key != n.seen {
		n.seen, n.same = m.key, 0
	}
	if n.same++; m.key == "" || n.same < n.looks || m.key == n.said {
		return ""
	}
	n.said = m.key
	return m.words
}
