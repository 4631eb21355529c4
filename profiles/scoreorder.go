package profiles

import (
	"fmt"
	"slices"
	"strings"
	"swellbox/profiles/reading"
)

// InScore tells each part of a piece which parts stand above and below it: they say what a
// doubtful name means, and into how many parts a section divides. The hints are in the
// order of the score.
func InScore(hints []Hint) []Hint {
	among := &scoreOrder{}
	for _, h := range hints {
		h.among = nil
		among.parts = append(among.parts, supposed(h))
	}
	out := slices.Clone(hints)
	for i := range out {
		out[i].among, out[i].place = among, i
	}
	return out
}

// scoreOrder are the parts of a piece, each as it seems by itself.
type scoreOrder struct{ parts []opinion }

// ranks are the places of the instruments in a score, from the top down, in groups of ten:
// common practice, no published source.
var ranks = func() map[string]int {
	m := map[string]int{}
	for group, names := range []string{
		"piccolo, flute, alto-flute, oboe, cor-anglais, clarinet-e-flat, clarinet, bass-clarinet, soprano-saxophone, alto-saxophone, tenor-saxophone, baritone-saxophone, bassoon, contrabassoon, woodwind",
		"horn, trumpet, cornet, trombone, bass-trombone, tuba, brass",
		"timpani, percussion, drum-kit, glockenspiel, xylophone, marimba, vibraphone, tubular-bells, crotales",
		"harp, plucked, celesta, piano, keyboard, harpsichord, organ",
		"solo-voice, choir-sopranos, choir-altos, choir-tenors, choir-basses, choir",
		"violin, viola, cello, double-bass, solo-strings, violins, violins-1, violins-2, violas, cellos, double-basses, strings",
	} {
		for i, name := range strings.Split(names, ", ") {
			m[name] = 20*group + i
		}
	}
	return m
}()

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
func (o *scoreOrder) weigh(s *opinion, place int) {
	above, below := o.sure(place, -1), o.sure(place, 1)
	if s.means == "" || above == nil && below == nil {
		return
	}
	at := func(n *opinion) int {
		if n == nil {
			return -1
		}
		return ranks[n.Profile]
	}
	meanings := append([]string{s.Profile}, s.Else...)
	best := s.Profile
	for _, p := range meanings {
		if rank, known := ranks[p]; known && fits(rank, at(above), at(below)) < fits(ranks[best], at(above), at(below)) {
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
func (o *scoreOrder) sure(place, step int) *opinion {
	for i := place + step; i >= 0 && i < len(o.parts); i += step {
		p := &o.parts[i]
		if _, known := ranks[p.Profile]; known && (p.Doubt == "" || p.means != "" && len(p.Else) == 0) {
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
func (o *scoreOrder) divide(c *count, place int) {
	own := &o.parts[place]
	if !slices.Contains(sections, own.Profile) || c.number > 0 {
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
		other := countOf(p.name, p.Profile)
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

// soloStrings are the instruments of those who play alone, by the sections that a name gives them.
var soloStrings = map[string]string{"violins": "violin", "violins-1": "violin", "violins-2": "violin", "violas": "viola", "cellos": "cello"}

// oneString are the words for one string instrument, as each part of a quartet is called.
var oneString = folded(`violin, violine, violino, violon, vln, vn, vl, vno, geige, viola, bratsche, alto, vla, va, cello, violoncello, violoncelle, violonchelo, violoncelo, vlc, vcl, vc`)

// chamber reports whether the strings of a piece are a trio, a quartet or a quintet: at least a
// violin, a viola and a cello, each named as one, no double bass, and few parts in all.
func (o *scoreOrder) chamber() bool {
	if len(o.parts) > chamberMost {
		return false
	}
	found := map[string]bool{}
	for i := range o.parts {
		p := &o.parts[i]
		if !slices.Contains(bowed, p.Profile) {
			continue
		}
		solo := soloStrings[p.Profile]
		items := itemsOf(p.name)
		one := slices.ContainsFunc(items, func(it item) bool { return oneString[it.word] })
		several := slices.ContainsFunc(items, func(it item) bool { return slices.Contains(dividers, it.word) })
		if solo == "" || !one || several {
			return false
		}
		found[solo] = true
	}
	return found["violin"] && found["viola"] && found["cello"]
}

// alone has a string part of a trio, a quartet or a quintet be played by one. That stays in doubt, as a string orchestra may be called so too.
func (o *scoreOrder) alone(s *opinion) {
	solo := soloStrings[s.Profile]
	if solo == "" || !o.chamber() {
		return
	}
	s.Else = append([]string{s.Profile}, s.Else...)
	s.Profile, s.Doubt = solo, "one player is taken, as in a quartet"
}
