package live

import (
	"time"

	"swellbox/expr"
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

// foreknowledge adds to a status what is known of the piece; name is that of the score. p.mu is held.
func (p *performance) foreknowledge(s *Status, name string) {
	asked, _ := p.stage.Lookahead()
	state, why := p.stage.Transport()
	delay := p.delay()
	s.DelayMS = inMS(delay)
	f := &s.Foreknowledge
	f.LookaheadMS, f.Transport, f.Why = inMS(asked), state.String(), string(why)
	pulse := p.stage.Beat()
	f.BeatBy, f.BeatsMin, f.BeatSure = pulse.By, pulse.PerMin, pulse.Sure
	piece := &p.finder.piece
	switch f.Found = piece.isFound(); {
	case f.Found:
		f.Grade = expr.Scored.String()
	case delay > 0:
		f.Grade = expr.Ahead.String()
	default:
		f.Grade = expr.Causal.String()
	}
	if piece.score == nil {
		return
	}
	f.Score = name
	if piece.follower == nil {
		f.Sure, f.Pace = 1, 1
		return
	}
	defer p.finder.unfollow()
	if where, ok := piece.at(p.now()-delay, p.now()); ok {
		s.Position = &Position{Bar: where.Bar, Beat: where.Beat}
		f.Sure, f.Pace = where.Sure, where.Tempo
	}
}

func inMS(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
