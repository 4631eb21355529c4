package proxy

import (
	"fmt"
	"strings"

	"swellbox/profiles"
)

// Doubts are what was guessed of a part on doubtful ground, with the reasons, each in a sentence.
func (p *Part) Doubts() []string {
	var doubts []string
	if p.Doubt != "" {
		s := fmt.Sprintf("%s is played as %s by %s: %s", p.Name, p.Profile, p.Why, p.Doubt)
		if len(p.Else) > 0 {
			s += "; it may also be " + strings.Join(p.Else, " or ")
		}
		doubts = append(doubts, s)
	}
	if p.By == profiles.ByPlural {
		doubts = append(doubts, fmt.Sprintf("%s counts as %d players, being a plural without a number", p.Name, p.Players))
	}
	return doubts
}

// Doubts are those of all parts.
func (r *Report) Doubts() []string {
	var doubts []string
	for i := range r.Parts {
		doubts = append(doubts, r.Parts[i].Doubts()...)
	}
	return doubts
}

// Doubts are those of all parts.
func (s *Status) Doubts() []string {
	var doubts []string
	for i := range s.Parts {
		doubts = append(doubts, s.Parts[i].Doubts()...)
	}
	return doubts
}

// Doubts are what was guessed of the part on doubtful ground.
func (p *PartReport) Doubts() []string {
	part := Part{Name: p.Name, Profile: p.Profile, Why: p.Why, Players: p.Players, By: p.By, Doubt: p.Doubt, Else: p.Else}
	return part.Doubts()
}
