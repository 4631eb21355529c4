package profiles

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
)

// build makes a profile of the merged documents of a chain and checks what
// depends on more than one key.
func build(chain []*Document, root *yaml.Node) (*expr.Profile, error) {
	var d draft
	r := &reader{file: chain[0].File}
	mapping(r, root, "", profileKeys, &d)
	if err := r.err(); err != nil {
		return nil, err
	}
	c := &checker{chain: chain}
	p := &d.profile
	if d.readingAsPlayer {
		if p.Player.Velocity == nil {
			c.fault("dynamics.reading", "found player, but the player does not answer to velocity; give points")
		} else {
			reading, err := reMF(p.Player.Velocity)
			if err != nil {
				c.fault("dynamics.reading", "%v", err)
			}
			p.Dynamics.Reading = reading
		}
	}
	c.instrument(p)
	c.player(&d)
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return p, nil
}

// checker finds the place of a fault in the documents that were merged.
type checker struct {
	chain    []*Document
	problems Problems
}

// fault notes a problem where the key is given: in the first document of the
// chain that has it or, if none has, the nearest key above it.
func (c *checker) fault(key, format string, args ...any) {
	for path := key; ; {
		for _, d := range c.chain {
			if n := at(d.root, path); n != nil {
				r := reader{file: d.File}
				r.fault(n, key, format, args...)
				c.problems = append(c.problems, r.problems...)
				return
			}
		}
		path = path[:max(strings.LastIndexByte(path, '.'), 0)]
	}
}

// at is the value at a path of keys; the root for the empty path.
func at(n *yaml.Node, path string) *yaml.Node {
	if path == "" {
		return n
	}
	for _, name := range strings.Split(path, ".") {
		n = child(n, name)
	}
	return n
}

func (c *checker) instrument(p *expr.Profile) {
	if p.Family == "" {
		c.fault("family", "the key is missing")
	}
	if p.Players == 0 {
		c.fault("players", "the key is missing")
	}
	// The velocity of mf is where the reading crosses 0 dB, so it must cross it.
	if reading := p.Dynamics.Reading; reading == nil {
		c.fault("dynamics.reading", "the key is missing")
	} else if lo, hi := reading.At(1), reading.At(127); lo >= 0 || hi <= 0 {
		c.fault("dynamics.reading", "found %g to %g dB, wanted a curve that rises through 0 dB, which is mf", lo, hi)
	}
	if w := p.Weighting; w.ToDB <= w.FromDB && (w.K != 0 || w.ShareDB != 0) {
		c.fault("weighting.to_db", "found %g dB, allowed is more than from_db, which is %g dB", w.ToDB, w.FromDB)
	}
	if v := p.Vibrato; v.K > 0 {
		if v.HighPitch <= v.LowPitch {
			c.fault("vibrato.high_pitch", "found %g, allowed is more than low_pitch, which is %g", v.HighPitch, v.LowPitch)
		}
		if v.RateLow == 0 || v.RateHigh == 0 {
			c.fault("vibrato", "rate_low_hz and rate_high_hz are both needed for a vibrato")
		}
	}
}

func (c *checker) player(d *draft) {
	p := &d.profile.Player
	numbers := map[int]string{}
	for _, use := range []struct {
		key  string
		from *control
		to   *expr.Control
	}{
		{"player.level", &d.level, &p.Level},
		{"player.vibrato_depth", &d.depth, &p.VibratoDepth},
		{"player.vibrato_rate", &d.rate, &p.VibratoRate},
		{"player.vibrato_delay", &d.delay, &p.VibratoDelay},
		{"player.brightness", &d.brightness, &p.Brightness},
	} {
		if use.from.none || use.from.Number == 0 && use.from.Response == nil {
			use.to.Number = -1
			continue
		}
		*use.to = use.from.Control
		c.control(use.key, use.to)
		for _, n := range sent(use.to) {
			if other, taken := numbers[n]; taken {
				c.fault(use.key, "controller %d is already that of %s", n, other)
			}
			numbers[n] = use.key
		}
	}
	carrier := d.profile.Dynamics.Carrier
	if carrier != expr.CarryVelocity && !p.Level.Has() {
		c.fault("dynamics.carried_by", "the dynamics are carried by a controller, but player.level is none")
	}
	if carrier != expr.CarryController && p.Velocity == nil {
		c.fault("dynamics.carried_by", "the dynamics are carried by the velocity, but player.velocity is none")
	}
}

// control checks one controller once all parents have had their say.
func (c *checker) control(key string, to *expr.Control) {
	switch {
	case to.Number == 0:
		c.fault(key+".controller", "the key is missing")
	case to.Fine && to.Number > 31:
		c.fault(key+".controller", "found %d, allowed is 1 to 31 for a controller of 14 bits", to.Number)
	case to.Response == nil:
		c.fault(key, "a response is missing: points, or for a level a law")
	}
}

// sent are the numbers that a control sends on.
func sent(c *expr.Control) []int {
	switch {
	case c.Number == 0:
		return nil
	case c.Fine:
		return []int{c.Number, c.Number + 32}
	}
	return []int{c.Number}
}
