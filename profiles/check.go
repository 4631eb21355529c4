package profiles

import (
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/expr/acoustics"
	"swellbox/profiles/reading"
)

// checker finds the place of a fault in the documents that were merged.
type checker struct {
	chain    []*Document
	variant  string // the variant that was merged; empty for the profile itself
	problems Problems
}

// read reads a merged tree.
func (c *checker) read(root *yaml.Node, keys []reading.Key[draft]) (*draft, error) {
	var d draft
	r := &reading.Reader{File: c.chain[0].File}
	reading.Mapping(r, root, "", keys, &d)
	return &d, r.Err()
}

// finish makes a profile of what was read and checks what depends on more than one key.
func (c *checker) finish(d *draft) (*expr.Profile, error) {
	p := &d.profile
	if d.readingAsPlayer {
		if p.Sampler.Velocity == nil {
			c.fault(keys("marks.reading", "sampler.velocity"), "found sampler, but the sampler does not answer to velocity; give points")
		} else {
			reading, err := reMF(p.Sampler.Velocity)
			if err != nil {
				c.fault(keys("marks.reading"), "%v", err)
			}
			p.Dynamics.Reading = reading
		}
	}
	c.instrument(p)
	c.ranged(p)
	c.player(d)
	if len(c.problems) > 0 {
		return nil, c.problems
	}
	return p, nil
}

// fault notes a problem of the first of the keys, which may lie in the others
// too. Its place is where the first document of the chain that has a say gives
// one of them or, if none does, the nearest key above the first.
func (c *checker) fault(keys []string, format string, args ...any) {
	name := keys[0]
	if c.variant != "" {
		format, args = "in the variant %s: "+format, append([]any{c.variant}, args...)
	}
	for {
		for _, d := range c.chain {
			for _, key := range keys {
				if n := reading.At(d.root, key); n != nil {
					r := reading.Reader{File: d.File}
					r.Fault(n, d.prefix+name, format, args...)
					c.problems = append(c.problems, r.Problems...)
					return
				}
			}
		}
		above := strings.LastIndexByte(keys[0], '.')
		keys = []string{keys[0][:max(above, 0)]}
	}
}

// keys is a list of keys, for fault.
func keys(k ...string) []string { return k }

func (c *checker) instrument(p *expr.Profile) {
	if p.Family == "" {
		c.fault(keys("family"), "the key is missing")
	}
	if p.Players == 0 {
		c.fault(keys("players"), "the key is missing")
	}
	// The velocity of mf is where the reading crosses 0 dB, so it must cross it.
	if reading := p.Dynamics.Reading; reading == nil {
		c.fault(keys("marks.reading"), "the key is missing")
	} else if lo, hi := reading.At(1), reading.At(127); lo >= 0 || hi <= 0 {
		c.fault(keys("marks.reading"), "found %g to %g dB, wanted a curve that rises through 0 dB, which is mf", lo, hi)
	}
	if w := p.Weight; w.ToDB <= w.FromDB && (p.Amounts.Of("orchestra_weight") != 0 || w.ShareDB != 0) {
		c.fault(keys("orchestra_weight.full_at_db", "orchestra_weight.starts_at_db"), "found %g dB, allowed is more than starts_at_db, which is %g dB", w.ToDB, w.FromDB)
	}
	if v := p.Vibrato; p.Amounts.Of(expr.KeyVibrato) > 0 {
		if v.HighPitch <= v.LowPitch {
			c.fault(keys("vibrato.high_pitch", "vibrato.low_pitch"), "found %g, allowed is more than low_pitch, which is %g", v.HighPitch, v.LowPitch)
		}
		if v.RateLow == 0 || v.RateHigh == 0 {
			c.fault(keys("vibrato"), "rate_low_hz and rate_high_hz are both needed for a vibrato")
		}
	}
}

// ranged gives a profile the range of its instrument. A profile of a whole family stands in the
// hall as one of its members, and plays where any of them does.
func (c *checker) ranged(p *expr.Profile) {
	if p.Instrument == nil {
		return
	}
	name := p.Instrument.Name
	for _, d := range c.chain {
		if reading.Child(d.root, "instrument") == nil {
			continue
		}
		if in, ok := acoustics.Lookup(d.Name); ok && in == p.Instrument {
			name = d.Name
		}
		break
	}
	low, high, known := acoustics.RangeOf(name)
	if !known {
		return
	}
	const a4 = 69 // MIDI note from which a Pitch counts
	p.Range = expr.Range{Low: uint8(a4 + low), High: uint8(a4 + high)}
}

func (c *checker) player(d *draft) {
	p := &d.profile.Sampler
	numbers := map[int]string{}
	for _, use := range []struct {
		key  string
		from *control
		to   *expr.Control
	}{
		{"sampler.level", &d.level, &p.Level},
		{"sampler.vibrato_depth", &d.depth, &p.VibratoDepth},
		{"sampler.vibrato_rate", &d.rate, &p.VibratoRate},
		{"sampler.vibrato_delay", &d.delay, &p.VibratoDelay},
		{"sampler.brightness", &d.brightness, &p.Brightness},
	} {
		if use.from.none || use.from.Number == 0 && use.from.Response == nil {
			use.to.Number = -1
			continue
		}
		*use.to = use.from.Control
		c.control(use.key, use.to)
		for _, n := range sent(use.to) {
			if other, taken := numbers[n]; taken {
				c.fault(keys(use.key+".controller", other+".controller"), takenText, n, other)
			}
			numbers[n] = use.key
		}
	}
	carrier := d.profile.Dynamics.Carrier
	if carrier != expr.CarryVelocity && !p.Level.Has() {
		c.fault(keys("marks.carried_by", "sampler.level"), "the dynamics are carried by a controller, but sampler.level is none")
	}
	if carrier != expr.CarryController && p.Velocity == nil {
		c.fault(keys("marks.carried_by", "sampler.velocity"), "the dynamics are carried by the velocity, but sampler.velocity is none")
	}
}

// control checks one controller once all parents have had their say.
func (c *checker) control(key string, to *expr.Control) {
	switch {
	case to.Number == 0:
		c.fault(keys(key+".controller"), "the key is missing")
	case to.Fine && to.Number > 31:
		c.fault(keys(key+".controller", key+".bits"), "found %d, allowed is 1 to 31 for a controller of 14 bits", to.Number)
	case to.Response == nil:
		c.fault(keys(key), "a response is missing: points, or for a level curve or range_db")
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

// takenText is how a problem begins and goes on that is of a controller which another key has.
const takenText = "controller %d is already that of %s"

// TakenBy is the key that has the controller which a problem is about, if it is about one.
func TakenBy(p Problem) (key string, ok bool) {
	before, other, ok := strings.Cut(p.Text, " is already that of ")
	return other, ok && strings.Contains(before, "controller ")
}
