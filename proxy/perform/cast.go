package perform

import (
	"cmp"
	"fmt"
	"slices"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/profiles/names"
)

// Part is one seated channel.
type Part struct {
	Name    string // for people: the seating's, the track's, or the profile's with the channel
	Port    int    // from 0
	Channel int    // 0..15
	Profile string
	Players int
	Why     string   // how the profile was found
	By      string   // how the number of players was found: "seating", "named", "plural", "usual size of a section", "half of a divided section" …
	Doubt   string   // why the profile may be wrong, in a sentence; empty where it is sure
	Else    []string // the profiles that it may be as well
	Origin  string   // where its document comes from: "built-in", "own, " and the folder …

	Articulation  string // the one way of playing that the part keeps to; empty for all
	ControllerMap string // the sampler's map; empty for none
}

// Cast finds the profile of a part: in the seating if there is one and it names
// the part, else by a guess.
type Cast struct {
	Library *profiles.Library
	Seating *profiles.Seating // nil if there is none
	Place   expr.Place        // how the parts stand to each other at the start
	// ControllerMap is the sampler's map for all parts, whatever the seating says; empty for
	// those of the seating.
	ControllerMap string

	known map[way]*expr.Profile
}

// way is a profile as a part plays it.
type way struct{ profile, articulation, controllerMap string }

// Ensemble is what all parts share.
func (c *Cast) Ensemble() profiles.Ensemble {
	if c.Seating == nil {
		return profiles.DefaultEnsemble
	}
	return c.Seating.Ensemble
}

// choose is Choose, as long as nothing fails.
func (c *Cast) choose(h names.Hint) (Part, *expr.Profile, error) {
	p := Part{Port: h.Port - 1, Channel: h.Channel - 1, Name: h.Track}
	var supposed names.Supposition // of one to whom no seat is given
	if seat, ok := c.seat(h); ok {
		p.Profile, p.Players, p.Why, p.By = seat.Profile, seat.Players, "the seating", names.BySeating
		p.Articulation, p.ControllerMap = seat.Articulation, seat.ControllerMap
		if seat.Part != "" {
			p.Name = seat.Part
		}
	} else {
		supposed = c.Library.Called().Suppose(h)
		p.Profile, p.Why, p.Doubt, p.Else = supposed.Profile, supposed.Why, supposed.Doubt, supposed.Else
	}
	program := 0
	if h.HasProgram {
		program = h.Program
	}
	p.ControllerMap = cmp.Or(c.ControllerMap, p.ControllerMap, c.Library.MeasuredMap(p.Name, p.Profile, program), c.Ensemble().ControllerMap)
	if d, ok := c.Library.Lookup(p.Profile); ok {
		p.Origin = d.Origin.String()
	}
	profile, err := c.of(p)
	if err != nil {
		return Part{}, nil, fmt.Errorf("the profile of port %d channel %d: %w", h.Port, h.Channel, err)
	}
	if p.Name == "" {
		p.Name = unnamed(h.Port, h.Channel, p.Profile)
	}
	if p.Players == 0 { // nobody has said how many
		supposed.Profile = p.Profile
		p.Players, p.By = supposed.Players(func(name string) int {
			if other, err := c.profile(name); err == nil && name != p.Profile {
				return other.Players
			}
			return profile.Players
		})
	}
	return p, profile, nil
}

// Seats is the seating as this cast plays it: where it has a controller map for all parts, that
// stands in the place of those that the seating names. It is nil if there is nothing to say.
func (c *Cast) Seats() *profiles.Seating {
	if c.ControllerMap == "" {
		return c.Seating
	}
	s := profiles.Seating{Ensemble: c.Ensemble()}
	s.Ensemble.ControllerMap = c.ControllerMap
	if c.Seating != nil {
		s.Seats = slices.Clone(c.Seating.Seats)
	}
	for i := range s.Seats {
		s.Seats[i].ControllerMap = ""
	}
	return &s
}

func (c *Cast) seat(h names.Hint) (profiles.Seat, bool) {
	if c.Seating == nil {
		return profiles.Seat{}, false
	}
	return c.Seating.For(h)
}

// profile resolves a name for the ensemble's sampler.
func (c *Cast) profile(name string) (*expr.Profile, error) {
	return c.of(Part{Profile: name, ControllerMap: cmp.Or(c.ControllerMap, c.Ensemble().ControllerMap)})
}

// of resolves what a part plays once: the engine compares profiles by identity, and
// resolving reads documents.
func (c *Cast) of(part Part) (*expr.Profile, error) {
	w := way{part.Profile, part.Articulation, part.ControllerMap}
	if p, ok := c.known[w]; ok {
		return p, nil
	}
	p, err := c.Library.ResolveFor(w.profile, w.controllerMap)
	if err == nil && w.articulation != "" {
		p, err = profiles.Keep(p, w.articulation)
	}
	if err != nil {
		return nil, err
	}
	if c.known == nil {
		c.known = map[way]*expr.Profile{}
	}
	c.known[w] = p
	return p, nil
}

// inherit takes over what another cast knew of the profiles that are made of the same
// documents in both libraries, so that after a save only what it touches is resolved
// anew.
func (c *Cast) inherit(known map[way]*expr.Profile, from *profiles.Library) {
	for w, p := range known {
		if _, ok := c.known[w]; ok || !madeAlike(w, c.Library, from) {
			continue
		}
		if c.known == nil {
			c.known = map[way]*expr.Profile{}
		}
		c.known[w] = p
	}
}

// madeAlike reports whether two libraries make a profile of the same bytes.
func madeAlike(w way, a, b *profiles.Library) bool {
	ours, err := a.Needs(w.profile)
	theirs, errTheirs := b.Needs(w.profile)
	if err != nil || errTheirs != nil {
		return false
	}
	sameText := func(a, b *profiles.Document) bool { return a == b || a.Hash() == b.Hash() }
	sameMap := func(a, b *profiles.ControllerMap) bool { return a == b || a.Hash() == b.Hash() }
	return slices.EqualFunc(ours, theirs, sameText) &&
		slices.EqualFunc(a.ControllerMapLayers(w.controllerMap), b.ControllerMapLayers(w.controllerMap), sameMap)
}
