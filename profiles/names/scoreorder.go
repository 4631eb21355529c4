package names

import (
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"swellbox/profiles/reading"
)

// InScore tells each part of a piece which parts stand above and below it: they say what a
// doubtful name means, and into how many parts a section divides. The hints are in the
// order of the score.
func InScore(hints []Hint) []Hint {
	among := &scoreOrder{}
	out := slices.Clone(hints)
	for i := range out {
		out[i].among, out[i].place = nil, 0
	}
	among.hints = slices.Clone(out)
	for i := range out {
		out[i].among, out[i].place = among, i
	}
	return out
}

// scoreOrder are the parts of a piece.
type scoreOrder struct {
	hints []Hint
	last  atomic.Pointer[score] // as it was read last, as all parts of a piece are asked for one after the other
}

// score are the parts of a piece, each as it seems by itself.
type score struct {
	*Register
	parts []opinion
}

// read is what a register makes of the parts.
func (o *scoreOrder) read(r *Register) *score {
	if s := o.last.Load(); s != nil && s.Register == r {
		return s
	}
	s := &score{r, make([]opinion, len(o.hints))}
	for i, h := range o.hints {
		s.parts[i] = r.supposed(h)
	}
	o.last.Store(s)
	return s
}

// strayed is how much worse it is to stand above what comes before in a score than to leave
// something out. Ours.
const strayed = 4

// fits is how badly an instrument stands between two others, of which a rank of -1 is none: how
// far it is from the nearer of them, and by how much it is out of order.
func fits(rank, above, below int) int {
	nearest, stray := -1, 0
	for _, step := range []struct{ from, to int }{{above, rank}, {rank, below}} {
		if step.from < 0 || step.to < 0 {
			continue
		}
		far := step.to - step.from
		if far < 0 {
			far = -far
			stray += strayed * far
		}
		if nearest < 0 || far < nearest {
			nearest = far
		}
	}
	return nearest + stray
}

// weigh settles a doubtful name by the nearest parts above and below it that are not doubtful.
// It stays in doubt all the same.
func (o *score) weigh(s *opinion, place int) {
	above, below := o.sure(place, -1), o.sure(place, 1)
	if s.means == "" || above == nil && below == nil {
		return
	}
	at := func(n *opinion) int {
		if n == nil {
			return -1
		}
		return o.of[n.Profile].Order - 1
	}
	meanings := append([]string{s.Profile}, s.Else...)
	best := s.Profile
	for _, p := range meanings {
		if order := o.of[p].Order; order > 0 && fits(order-1, at(above), at(below)) < fits(max(o.of[best].Order-1, 0), at(above), at(below)) {
			best = p
		}
	}
	where := ""
	switch {
	case above != nil && below != nil:
		where = fmt.Sprintf("between %s and %s", quoted(above.name, above.Profile), quoted(below.name, below.Profile))
	case above != nil:
		where = "below " + quoted(above.name, above.Profile)
	default:
		where = "above " + quoted(below.name, below.Profile)
	}
	s.Profile = best
	s.Else = slices.DeleteFunc(meanings, func(p string) bool { return p == best })
	s.Why = fmt.Sprintf("the name %q, as it stands %s", reading.Shortened(s.name), where)
}

// sure is the nearest part that can be but one thing, upwards or downwards; nil if there is none.
func (o *score) sure(place, step int) *opinion {
	for i := place + step; i >= 0 && i < len(o.parts); i += step {
		p := &o.parts[i]
		if o.of[p.Profile].Order > 0 && (p.Doubt == "" || p.means != "" && len(p.Else) == 0) {
			return p
		}
	}
	return nil
}

func quoted(name, profile string) string {
	if name == "" {
		return profile
	}
	return fmt.Sprintf("%q", reading.Shortened(name))
}

// divide finds how many parts a section divides into: as many as there are in the piece. The
// parts of one section are told by "div.", or by numbers: "Viola 1" and "Viola 2".
func (o *score) divide(c *count, place int) {
	own := &o.parts[place]
	if o.of[own.Profile].Numbers != NumberSections || c.number > 0 {
		return
	}
	numbered := c.of == 0 && lastNumber(own.name, own.Profile) > 0
	if c.of == 0 && !numbered {
		return
	}
	parts, mine := 0, 0
	for i := range o.parts {
		p := &o.parts[i]
		if p.Profile != own.Profile {
			continue
		}
		other := o.countOf(p.name, p.Profile)
		if c.of > 0 && other.of <= 0 || numbered && (other.of != 0 || lastNumber(p.name, p.Profile) == 0) {
			continue
		}
		if i == place {
			mine = parts
		}
		parts++
	}
	if parts > 1 {
		c.of, c.share = parts, mine
	}
}

// lastNumber is the one number of a name that ends with it, of a section that has no firsts
// and seconds; 0 for any other.
func lastNumber(name, profile string) int {
	if strings.HasPrefix(profile, "violins") {
		return 0
	}
	items := itemsOf(name)
	for i := range items {
		if n, first, end := run(items, i); n > 0 {
			if n > 1 || i > 0 && end != len(items) {
				return 0
			}
			return first
		}
	}
	return 0
}

// chamberMost is how many parts a piece with solo strings has at most: a quintet and one more. Ours.
const chamberMost = 6

// quartet are the instruments of which each plays alone in a trio, a quartet or a quintet.
var quartet = []string{"violin", "viola", "cello"}

// soloOf is the instrument of the quartet that a section's part is played by there; empty for others.
func (o *score) soloOf(profile string) string {
	if solo := o.of[profile].Alone; slices.Contains(quartet, solo) {
		return solo
	}
	return ""
}

// oneString are the words for one string instrument, as each part of a quartet is called.
var oneString = []string{
	"violin", "violine", "violino", "violon", "vln", "vn", "vl", "vno", "geige", "viola", "bratsche", "alto", "vla", "va", "cello", "violoncello", "violoncelle", "violonchelo", "violoncelo", "vlc", "vcl", "vc",
}

// chamber reports whether the strings of a piece are a trio, a quartet or a quintet: at least a
// violin, a viola and a cello, each named as one, no double bass, and few parts in all.
func (o *score) chamber() bool {
	if len(o.parts) > chamberMost {
		return false
	}
	found := map[string]bool{}
	for i := range o.parts {
		p := &o.parts[i]
		if !o.of[p.Profile].Bowed {
			continue
		}
		solo := o.soloOf(p.Profile)
		items := itemsOf(p.name)
		one := slices.ContainsFunc(items, func(it item) bool { return slices.Contains(oneString, it.word) })
		several := slices.ContainsFunc(items, func(it item) bool { return slices.Contains(dividers, it.word) })
		if solo == "" || !one || several {
			return false
		}
		found[solo] = true
	}
	return found["violin"] && found["viola"] && found["cello"]
}

// alone has a string part of a trio, a quartet or a quintet be played by one. That stays in doubt, as a string orchestra may be called so too.
func (o *score) alone(s *opinion) {
	solo := o.soloOf(s.Profile)
	if solo == "" || !o.chamber() {
		return
	}
	s.Else = append([]string{s.Profile}, s.Else...)
	s.Profile, s.Doubt = solo, "one player is taken, as in a quartet"
}
