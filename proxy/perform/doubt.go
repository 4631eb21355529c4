package perform

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
