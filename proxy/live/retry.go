package live

import (
	"slices"
	"time"

	"swellbox/proxy/perform"
)

// What makes music a piece of its own: the transport starts, or nothing was heard for so
// long. What failed in one piece is tried again in the next. Ours.
const betweenPieces = 10 * time.Second

// rests reports whether nothing has come in for as long as lies between pieces, and nothing sounds. p.mu is held.
func (p *performance) rests() bool {
	if now := p.now(); now-p.noteAt < betweenPieces || p.stage.PlayedOut() > now {
		return false
	}
	for i := range p.ports * 16 {
		if p.stage.Sounding(i/16, i%16) > 0 {
			return false
		}
	}
	return true
}

// ails reports whether anything has failed. p.mu is held.
func (p *performance) ails() bool {
	if p.broken != nil || p.finder.lost != nil || p.stage.Lost() != nil {
		return true
	}
	return slices.ContainsFunc(p.stage.Parts, func(part perform.Part) bool { return p.stage.Fault(part.Port, part.Channel) != nil })
}

// retry has what failed be tried again, for another piece. p.mu is held.
func (p *performance) retry() {
	if !p.ails() {
		return
	}
	p.try(func() {
		if p.broken != nil {
			p.revive()
		}
		p.stage.Retry()
		if p.finder.lost != nil {
			p.finder.again()
		}
	})
	if !p.ails() {
		p.notices = append(p.notices, "what failed is tried again with this piece")
	}
}

// revive puts an engine in the place of the one that failed. p.mu is held.
func (p *performance) revive() {
	p.stage.Revive(p.at, p.finder.again)
	p.broken = nil
}
