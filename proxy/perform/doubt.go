package perform

import (
	"fmt"
	"strings"

	"swellbox/profiles/names"
)

// Doubts are what was guessed of a part on doubtful ground, with the reasons, each in a sentence.
func (p *Part) Doubts() []string {
	var doubts []string
	if p.Doubt != "" {
		s := fmt.Sprintf("%s is played as %s by %s: %s", Called(p.Name, p.Profile), p.Profile, p.Why, p.Doubt)
		if len(p.Else) > 0 {
			s += "; it may also be " + strings.Join(p.Else, " or ")
		}
		doubts = append(doubts, s)
	}
	if p.By == names.ByPlural {
		doubts = append(doubts, fmt.Sprintf("%s counts as %d players, being a plural without a number", p.Name, p.Players))
	}
	return doubts
}

// unnamed is what a part without a name is called. What it plays as stands in it, as one
// channel may be several instruments in turn.
func unnamed(port, channel int, profile string) string {
	return fmt.Sprintf("channel %d of port %d (%s)", channel, port, profile)
}

// Called is what a part is called in a sentence that goes on to say what it plays as.
func Called(name, profile string) string {
	if strings.HasPrefix(name, "channel ") {
		return strings.TrimSuffix(name, " ("+profile+")")
	}
	return name
}
