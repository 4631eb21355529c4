package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"swellbox/expr/acoustics"
	"swellbox/proxy/layout"
)

// remedy is a change in words, and how the part is heard after it.
type remedy struct {
	heard
	words  string
	others bool // who changes is not the part itself
	apply  change
}

// worthDB is the least gain that is worth telling of what stays covered. Ours.
const worthDB = 3

// told is how many remedies are told of one stretch.
const told = 3

// remedies tries changes of each kind, the mildest first, and keeps those that help: of a kind the first
// after which the part is heard, else the one after which it is most audible. If none
// brings it out of cover, two together are tried.
func (c *caseOf) remedies() []remedy {
	var best []remedy
	for _, kind := range [][]remedy{c.faders(), c.louder(), c.softer(), c.doublings(), c.octaves()} {
		if r, ok := c.first(kind); ok {
			best = append(best, r)
		}
	}
	helps := slices.DeleteFunc(slices.Clone(best), func(r remedy) bool { return r.state < Background })
	if len(helps) == 0 {
		helps = c.combined(best)
	}
	slices.SortStableFunc(helps, func(a, b remedy) int { return int(min(b.state, Heard)) - int(min(a.state, Heard)) })
	return helps[:min(len(helps), told)]
}

// first tries the remedies of a kind, which go from the mildest on.
func (c *caseOf) first(kind []remedy) (best remedy, ok bool) {
	for _, r := range kind {
		r.heard = c.measure(c.in, r.apply)
		if r.audibilityDB-c.audibilityDB < 1 {
			continue // less than the ear can tell, so no help
		}
		if !ok || r.audibilityDB > best.audibilityDB {
			best, ok = r, true
		}
		if r.state >= Heard {
			return r, true
		}
	}
	return best, ok
}

// combined tries the two best kinds together, the part's own first, and if that does
// not help either, gives what gains most by itself.
func (c *caseOf) combined(kinds []remedy) []remedy {
	if len(kinds) == 0 {
		return nil
	}
	order := make([]int, len(kinds))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(kinds[j].audibilityDB, kinds[i].audibilityDB) })
	best := kinds[order[0]]
	if len(order) > 1 {
		a, b := kinds[min(order[0], order[1])], kinds[max(order[0], order[1])]
		and := " and "
		if b.others {
			and = " with "
		}
		both := remedy{words: a.words + and + b.words, apply: func(m *moment, s []acoustics.Source, at int) {
			a.apply(m, s, at)
			b.apply(m, s, at)
		}}
		both.heard = c.measure(c.in, both.apply)
		if both.state >= Background {
			return []remedy{both}
		}
	}
	if best.audibilityDB-c.audibilityDB >= worthDB {
		return []remedy{best}
	}
	return nil
}

// octaves move the part by an octave, if all its notes stay in range.
func (c *caseOf) octaves() (all []remedy) {
	for _, o := range []struct {
		words  string
		factor float64
	}{{"an octave up", 2}, {"an octave down", 0.5}} {
		if c.inRange(nil, o.factor) {
			all = append(all, remedy{words: o.words, apply: func(_ *moment, s []acoustics.Source, at int) { transpose(&s[at], o.factor) }})
		}
	}
	return all
}

// inRange reports whether an instrument, the part's own for nil, plays all the part's
// notes with their frequencies multiplied.
func (c *caseOf) inRange(in *acoustics.Instrument, factor float64) bool {
	for i := range c.moments {
		src := c.source(i)
		by := in
		if by == nil {
			by = src.Instrument
		}
		for _, hz := range append([]float64{src.PitchHz}, src.AlsoHz...) {
			// A pitch of a key is a whole number of semitones but for rounding.
			if !by.InRange(acoustics.Pitch(math.Round(float64(acoustics.PitchOf(hz * factor))))) {
				return false
			}
		}
	}
	return true
}

func transpose(s *acoustics.Source, factor float64) {
	s.PitchHz *= factor
	s.AlsoHz = slices.Clone(s.AlsoHz)
	for i := range s.AlsoHz {
		s.AlsoHz[i] *= factor
	}
}

// louder writes all who play the line one mark louder, or two.
func (c *caseOf) louder() (all []remedy) {
	for steps := 1; steps <= 2; steps++ {
		name, ok := nextMark(c.dynamicDB, steps)
		if !ok {
			break
		}
		all = append(all, remedy{words: "marked " + name, apply: func(m *moment, s []acoustics.Source, at int) {
			for i := range s {
				if m.line[i] == m.line[at] {
					s[i].DynamicDB = written(s[i].DynamicDB + float64(steps)*acoustics.MarkDB)
				}
			}
		}})
	}
	return all
}

// softer writes those who mask it one mark softer, or two.
func (c *caseOf) softer() (all []remedy) {
	if len(c.maskers) == 0 {
		return nil
	}
	for steps := 1; steps <= 2; steps++ {
		names := make([]string, len(c.maskers))
		var parts []int
		for i := range c.maskers {
			g := &c.maskers[i]
			name, ok := nextMark(g.dynamicDB, -steps)
			if !ok {
				return all
			}
			names[i] = g.name(c.score) + " at " + name
			parts = append(parts, g.parts...)
		}
		all = append(all, remedy{words: layout.List(names, ", ", "and"), others: true, apply: func(m *moment, s []acoustics.Source, _ int) {
			for i := range s {
				if slices.Contains(parts, m.players[i].part) {
					s[i].DynamicDB = written(s[i].DynamicDB - float64(steps)*acoustics.MarkDB)
				}
			}
		}})
	}
	return all
}

// doublings let a wind or string part that rests throughout double another's line, in
// unison or an octave up. The pair is at least as well heard as the one of the two that
// is heard better, and that is what is told of another instrument. Nobody doubles in a
// studio, where the fader does it.
func (c *caseOf) doublings() (all []remedy) {
	own := c.source(0).Instrument
	if c.in == studio || !sings(own) {
		return nil
	}
	for part := range c.score.parts {
		p := &c.score.parts[part]
		by := p.notes[0].voice
		if part == c.stretch.part || !sings(by.instrument) || c.plays(part) {
			continue
		}
		switch {
		case by.instrument == own:
			all = append(all, remedy{words: "doubled by " + p.name, apply: func(_ *moment, s []acoustics.Source, at int) { s[at].Players += by.players }})
		case c.inRange(by.instrument, 1):
			all = append(all, remedy{words: "doubled by " + p.name, apply: by.instead(1)})
		case c.inRange(by.instrument, 2):
			all = append(all, remedy{words: fmt.Sprintf("doubled by %s an octave up", p.name), apply: by.instead(2)})
		}
	}
	return all
}

// sings reports whether an instrument holds the notes of a line, and lines of its
// kind are doubled.
func sings(in *acoustics.Instrument) bool {
	return in.Family == "strings" || in.Family == "woodwind" || in.Family == "brass"
}

// plays reports whether a part sounds anywhere in the stretch.
func (c *caseOf) plays(part int) bool {
	for bar := c.stretch.first; bar <= c.stretch.last; bar++ {
		if slices.ContainsFunc(c.bars[bar], func(p heardPart) bool { return p.part == part }) {
			return true
		}
	}
	return false
}

// instead lets a voice play the part's notes.
func (v *voice) instead(factor float64) change {
	return func(_ *moment, s []acoustics.Source, at int) {
		src := &s[at]
		transpose(src, factor)
		src.Instrument, src.Seat, src.Players = v.instrument, v.seat, v.each(1+len(src.AlsoHz))
	}
}

// faders bring the part up in a studio, by as much as it needs to be heard.
func (c *caseOf) faders() []remedy {
	up := math.Ceil(acoustics.HeardDB - c.audibilityDB)
	if c.in != studio || up > maxFaderDB {
		return nil
	}
	return []remedy{{words: fmt.Sprintf("its fader %.0f dB up", up), apply: func(m *moment, s []acoustics.Source, at int) {
		for i := range s {
			if m.line[i] == m.line[at] {
				s[i].FaderDB += up
			}
		}
	}}}
}
