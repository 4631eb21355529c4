package proxy

import (
	"fmt"

	"swellbox/expr"
	"swellbox/profiles"
)

// Part is one seated channel.
type Part struct {
	Name    string // for people: the seating's, the track's, or the profile's with the channel
	Port    int    // from 0
	Channel int    // 0..15
	Profile string
	Players int
	Why     string // how the profile was found
}

// Cast finds the profile of a part: in the seating if there is one and it names
// the part, else by a guess.
type Cast struct {
	Library *profiles.Library
	Seating *profiles.Seating // nil if there is none
	known   map[string]*expr.Profile
}

// Ensemble is what all parts share.
func (c *Cast) Ensemble() profiles.Ensemble {
	if c.Seating == nil {
		return profiles.DefaultEnsemble
	}
	return c.Seating.Ensemble
}

// Choose seats a part. An error says which profile cannot be had, and why.
func (c *Cast) Choose(h profiles.Hint) (Part, *expr.Profile, error) {
	p := Part{Port: h.Port - 1, Channel: h.Channel - 1, Name: h.Track}
	if seat, ok := c.seat(h); ok {
		p.Profile, p.Players, p.Why = seat.Profile, seat.Players, "the seating"
		if seat.Part != "" {
			p.Name = seat.Part
		}
	} else {
		p.Profile, p.Why = profiles.Guess(h)
	}
	profile, err := c.profile(p.Profile)
	if err != nil {
		return Part{}, nil, fmt.Errorf("the profile of port %d channel %d: %w", h.Port, h.Channel, err)
	}
	if p.Name == "" {
		p.Name = fmt.Sprintf("%s (port %d channel %d)", p.Profile, h.Port, h.Channel)
	}
	if p.Players == 0 {
		p.Players = profile.Players
	}
	return p, profile, nil
}

func (c *Cast) seat(h profiles.Hint) (profiles.Seat, bool) {
	if c.Seating == nil {
		return profiles.Seat{}, false
	}
	return c.Seating.For(h)
}

// profile resolves a name once: the engine compares profiles by identity, and
// resolving reads a document.
func (c *Cast) profile(name string) (*expr.Profile, error) {
	if p, ok := c.known[name]; ok {
		return p, nil
	}
	p, err := c.Library.Resolve(name)
	if err != nil {
		return nil, err
	}
	if c.known == nil {
		c.known = map[string]*expr.Profile{}
	}
	c.known[name] = p
	return p, nil
}
