package names

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"swellbox/profiles/reading"
)

// drumChannel is General MIDI's channel of percussion (GM 1, from memory).
const drumChannel = 10

// Guess finds a profile for a part that no seating names, and says why; see [Register.Suppose],
// which also tells how sure that is.
func (r *Register) Guess(h Hint) (profile, why string) {
	s := r.Suppose(h)
	return s.Profile, s.Why
}

// Supposition is who seems to play a part.
type Supposition struct {
	Profile string
	Why     string   // how it was found
	Doubt   string   // why it may be wrong, in a sentence; empty where it is sure
	Else    []string // the profiles that it may be as well
	count   count
}

// Players is how many play, and how that was found. usual is how many a profile has.
func (s *Supposition) Players(usual func(profile string) int) (int, string) {
	if s.count.of == bothViolins {
		return usual("violins-1") + usual("violins-2"), "usual size of two sections"
	}
	return s.count.players(usual(s.Profile))
}

// Suppose finds a profile and a number of players for a part that no seating names. A name
// beats the program, unless it says nothing or has more than one meaning; then the program
// decides and, where that says nothing either, what stands before and after it in the score
// ([InScore]). The percussion channel beats its program, which there means a set of drums.
// What is not known at all is played as it comes. The ways in which strings
// play, which a score's "pizz." and "trem." call by program, are variants of the profile.
//
// The profile is always one of those registered, or [Plain].
func (r *Register) Suppose(h Hint) Supposition {
	s := r.supposed(h)
	if h.among == nil {
		s.count = r.countOf(s.name, s.Profile)
		return s.Supposition
	}
	among := h.among.read(r)
	if s.Doubt != "" {
		among.weigh(&s, h.place)
	}
	among.alone(&s)
	s.count = r.countOf(s.name, s.Profile)
	if s.count.of >= 0 {
		among.divide(&s.count, h.place)
	}
	return s.Supposition
}

// opinion is a supposition from the part alone.
type opinion struct {
	Supposition
	name  string // that was read
	means string // the doubtful word in it, empty if there is none
}

func (r *Register) supposed(h Hint) opinion {
	track, instrument := r.nameOf(h.Track), r.nameOf(h.Instrument)
	for _, n := range []struct {
		what string
		name
	}{{"track", track}, {"instrument", instrument}} {
		if n.profile != "" && n.program == nil {
			return opinion{Supposition{Profile: n.profile, Why: fmt.Sprintf("the %s name %q", n.what, reading.Shortened(n.full))}, n.full, ""}
		}
	}
	for _, n := range []name{track, instrument} {
		if n.profile == "" {
			continue
		}
		s := opinion{Supposition{Profile: n.profile}, n.full, n.word}
		if h.HasProgram {
			if p, ok := n.program[h.Program]; ok {
				s.Profile, s.Why = p, fmt.Sprintf("the name %q and program %d", reading.Shortened(n.full), h.Program)
				return s
			}
		}
		s.Why = fmt.Sprintf("the ambiguous name %q", reading.Shortened(n.full))
		if s.Doubt = fmt.Sprintf("%q has more than one meaning", n.word); r.letters[n.word] != "" {
			s.Doubt = fmt.Sprintf("the letter %q is taken for a voice", strings.ToUpper(n.word))
		}
		s.Else = n.others()
		return s
	}
	if h.Channel == drumChannel {
		return opinion{Supposition: Supposition{Profile: "drum-kit", Why: "channel 10 is percussion in General MIDI"}}
	}
	if h.HasProgram && h.Program >= 1 && h.Program <= len(r.programs) {
		s := opinion{Supposition: Supposition{Profile: r.programs[h.Program-1], Why: fmt.Sprintf("program %d of General MIDI", h.Program)}}
		switch unread := cmp.Or(h.Track, h.Instrument); {
		case unread != "":
			s.Doubt = fmt.Sprintf("no instrument was found in the name %q", reading.Shortened(unread))
		case h.Program == 1:
			s.Doubt = "program 1 is also what a file has that chose none"
		}
		return s
	}
	s := opinion{Supposition: Supposition{Profile: Plain, Why: "neither a name nor a program says what it is"}}
	s.Doubt = "nothing says what it is, so it is played as it comes"
	return s
}

// others are the other meanings of a name.
func (n *name) others() []string {
	others := slices.Sorted(maps.Values(n.program))
	return slices.DeleteFunc(slices.Compact(others), func(p string) bool { return p == n.profile })
}

// name is what a name says: the profile and, if its word has more than one meaning,
// what that means with a program.
type name struct {
	full, word, profile string
	program             map[int]string
}

// nameOf finds what a name says: the longest term in it, of equally long ones
// one that has a single meaning ("alto recorder" is a recorder), then the first.
func (r *Register) nameOf(full string) name {
	tokens := r.parted(tokensOf(full))
	best, from, length := "", 0, 0
	for i := range tokens {
		for n := min(longestName, len(tokens)-i); n > 0 && n >= length; n-- {
			term := strings.Join(tokens[i:i+n], " ")
			if r.terms[term] == "" || initials(term) && !numbersOnly(tokens[:i]) {
				continue
			}
			if n > length || r.doubtful[best] != nil && r.doubtful[term] == nil {
				best, from, length = term, i, n
			}
			break
		}
	}
	if best == "" {
		return r.voiceLetter(full, tokens)
	}
	rest := slices.Concat(tokens[:from], tokens[from+length:])
	n := name{full: full, word: best, profile: r.played(r.terms[best], rest), program: r.doubtful[best]}
	if n.profile != r.terms[best] {
		n.program = nil // the rest of the name has settled it
		if n.profile == "double-bass" && r.doubtful[best] != nil {
			n.program = map[int]string{53: "solo-voice"} // a bass alone may be a singer
		}
	}
	return n
}

// parted parts compounds that begin or end with what a soloist or a choir is called by:
// "solovioline", "altsolo", "chorbass".
func (r *Register) parted(tokens []string) []string {
	var out []string
	for _, t := range tokens {
		if r.terms[t] == "" {
			if rest, ok := strings.CutPrefix(t, "solo"); ok && r.terms[rest] != "" {
				out = append(out, "solo", rest)
				continue
			}
			if rest, ok := strings.CutSuffix(t, "solo"); ok && r.terms[rest] != "" {
				out = append(out, rest, "solo")
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// voiceLetter reads a name that has one letter and else only numbers and what singers
// are called by.
func (r *Register) voiceLetter(full string, tokens []string) name {
	letter, solo := "", false
	for _, t := range tokens {
		switch {
		case r.letters[t] != "" && letter == "":
			letter = t
		case slices.Contains(soloists, t):
			solo = true
		case t == "tutti" || t == "ripieno" || numbersOnly([]string{t}):
		default:
			return name{}
		}
	}
	if letter == "" {
		return name{}
	}
	n := name{full: full, word: letter, profile: r.letters[letter], program: r.doubtful[letter]}
	if n.program == nil {
		n.program = map[int]string{}
	}
	if solo {
		n.profile, n.program = "solo-voice", map[int]string{}
	}
	return n
}

// soloists are the words for one who plays or sings alone.
var soloists = []string{"solo", "soli", "solos", "soloist", "solista", "solistas", "solist", "solistin", "soliste", "solistes"}

// initials reports whether a term begins with a letter by itself, as "c i" for
// corno inglese. Further on in a name that may be a key: "Trumpet C I".
func initials(term string) bool { return len(term) > 1 && term[1] == ' ' }

func numbersOnly(tokens []string) bool {
	return !slices.ContainsFunc(tokens, func(t string) bool { return strings.Trim(t, "0123456789iv") != "" })
}

// played is the profile with what else the name says of it: a way of playing,
// a soloist, first or second violins.
func (r *Register) played(profile string, rest []string) string {
	has := func(words ...string) bool {
		return slices.ContainsFunc(rest, func(t string) bool { return slices.Contains(words, t) })
	}
	switch {
	case r.of[profile].Bowed && has("pizz", "pizzicato", "pizzicati"):
		return "pizzicato-strings"
	case r.of[profile].Bowed && has("trem", "tremolo", "tremoli", "tremolando"):
		return "tremolo-strings"
	case r.of[profile].Alone != "" && has(soloists...):
		return r.of[profile].Alone
	}
	if profile == "violins" {
		first := has("1", "i", "first", "primo", "primi", "erste", "premier", "premiers", "primero", "primeros", "ers")
		second := has("2", "ii", "second", "secondo", "secondi", "zweite", "seconds", "segundo", "segundos", "deuxiemes")
		switch {
		case first && !second:
			return "violins-1"
		case second && !first:
			return "violins-2"
		}
	}
	return profile
}
