package profiles

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"
	"swellbox/profiles/reading"
	"unicode"
)

// drumChannel is General MIDI's channel of percussion (GM 1, from memory).
const drumChannel = 10

// Guess finds a profile for a part that no seating names, and says why; see [Suppose],
// which also tells how sure that is.
func Guess(h Hint) (profile, why string) {
	s := Suppose(h)
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
// Names are score terms in English, Italian, German, French and Spanish with their usual
// abbreviations. The profile is always one of the built-in ones.
func Suppose(h Hint) Supposition {
	s := supposed(h)
	if s.Doubt != "" && h.among != nil {
		h.among.weigh(&s, h.place)
	}
	if h.among != nil {
		h.among.alone(&s)
	}
	s.count = countOf(s.name, s.Profile)
	if h.among != nil && s.count.of >= 0 {
		h.among.divide(&s.count, h.place)
	}
	return s.Supposition
}

// opinion is a supposition from the part alone.
type opinion struct {
	Supposition
	name  string // that was read
	means string // the doubtful word in it, empty if there is none
}

func supposed(h Hint) opinion {
	track, instrument := nameOf(h.Track), nameOf(h.Instrument)
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
		if s.Doubt = fmt.Sprintf("%q has more than one meaning", n.word); letters[n.word].profile != "" {
			s.Doubt = fmt.Sprintf("the letter %q is taken for a voice", strings.ToUpper(n.word))
		}
		s.Else = n.others()
		return s
	}
	if h.Channel == drumChannel {
		return opinion{Supposition: Supposition{Profile: "drum-kit", Why: "channel 10 is percussion in General MIDI"}}
	}
	if h.HasProgram && h.Program >= 1 && h.Program <= len(programs) {
		s := opinion{Supposition: Supposition{Profile: programs[h.Program-1], Why: fmt.Sprintf("program %d of General MIDI", h.Program)}}
		switch unread := cmp.Or(h.Track, h.Instrument); {
		case unread != "":
			s.Doubt = fmt.Sprintf("no instrument was found in the name %q", reading.Shortened(unread))
		case h.Program == 1:
			s.Doubt = "program 1 is also what a file has that chose none"
		}
		return s
	}
	s := opinion{Supposition: Supposition{Profile: plain, Why: "neither a name nor a program says what it is"}}
	s.Doubt = "nothing says what it is, so it is played as it comes"
	return s
}

// others are the other meanings of a name.
func (n *name) others() []string {
	others := slices.Sorted(maps.Values(n.program))
	return slices.DeleteFunc(slices.Compact(others), func(p string) bool { return p == n.profile })
}

// bowed are the profiles of strings played with the bow.
var bowed = []string{
	"strings", "violins", "violins-1", "violins-2", "violas", "cellos", "double-basses",
	"solo-strings", "violin", "viola", "cello", "double-bass",
}

// name is what a name says: the profile and, if its word has more than one meaning,
// what that means with a program.
type name struct {
	full, word, profile string
	program             map[int]string
}

// nameRead is how much of a name is read, in bytes. No instrument's is longer.
const nameRead = 256

// nameOf finds what a name says: the longest term in it, of equally long ones
// one that has a single meaning ("alto recorder" is a recorder), then the first.
func nameOf(full string) name {
	tokens := parted(tokensOf(full))
	best, from, length := "", 0, 0
	for i := range tokens {
		for n := min(longestTerm, len(tokens)-i); n > 0 && n >= length; n-- {
			term := strings.Join(tokens[i:i+n], " ")
			if terms[term] == "" || initials(term) && !numbersOnly(tokens[:i]) {
				continue
			}
			if n > length || doubtful[best] != nil && doubtful[term] == nil {
				best, from, length = term, i, n
			}
			break
		}
	}
	if best == "" {
		return voiceLetter(full, tokens)
	}
	rest := slices.Concat(tokens[:from], tokens[from+length:])
	n := name{full: full, word: best, profile: played(terms[best], rest), program: doubtful[best]}
	if n.profile != terms[best] {
		n.program = nil // the rest of the name has settled it
		if n.profile == "double-bass" && doubtful[best] != nil {
			n.program = map[int]string{53: "solo-voice"} // a bass alone may be a singer
		}
	}
	return n
}

// parted parts compounds that begin or end with what a soloist or a choir is called by:
// "solovioline", "altsolo", "chorbass".
func parted(tokens []string) []string {
	var out []string
	for _, t := range tokens {
		if terms[t] == "" {
			if rest, ok := strings.CutPrefix(t, "solo"); ok && terms[rest] != "" {
				out = append(out, "solo", rest)
				continue
			}
			if rest, ok := strings.CutSuffix(t, "solo"); ok && terms[rest] != "" {
				out = append(out, rest, "solo")
				continue
			}
		}
		out = append(out, t)
	}
	return out
}

// letters are the voices of a choir by their first letters, with what else they mean.
var letters = map[string]name{
	"s": {profile: "choir-sopranos"},
	"a": {profile: "choir-altos", program: map[int]string{42: "violas"}},
	"t": {profile: "choir-tenors"},
	"b": {profile: "choir-basses", program: map[int]string{44: "double-basses"}},
}

// voiceLetter reads a name that has one letter and else only numbers and what singers
// are called by.
func voiceLetter(full string, tokens []string) name {
	letter, solo := "", false
	for _, t := range tokens {
		switch {
		case letters[t].profile != "" && letter == "":
			letter = t
		case slices.Contains(soloists, t):
			solo = true
		case t == "tutti" || t == "ripieno" || numbersOnly([]string{t}):
		default:
			return name{}
		}
	}
	n := letters[letter]
	if n.profile == "" {
		return name{}
	}
	n.full, n.word = full, letter
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
func played(profile string, rest []string) string {
	has := func(words ...string) bool {
		return slices.ContainsFunc(rest, func(t string) bool { return slices.Contains(words, t) })
	}
	switch {
	case slices.Contains(bowed, profile) && has("pizz", "pizzicato", "pizzicati"):
		return "pizzicato-strings"
	case slices.Contains(bowed, profile) && has("trem", "tremolo", "tremoli", "tremolando"):
		return "tremolo-strings"
	case soloOf[profile] != "" && has(soloists...):
		return soloOf[profile]
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

// soloOf leads from the profile of many to that of one.
var soloOf = map[string]string{
	"strings": "solo-strings", "violins": "violin", "violas": "viola", "cellos": "cello", "double-basses": "double-bass",
	"choir": "solo-voice", "choir-sopranos": "solo-voice", "choir-altos": "solo-voice", "choir-tenors": "solo-voice", "choir-basses": "solo-voice",
}

// tokensOf cuts a name into its words: lower case, without accents, numbers
// apart from letters, and "in E flat" as one word.
func tokensOf(full string) []string {
	if len(full) > nameRead {
		full = full[:nameRead]
	}
	var b strings.Builder
	var before rune
	for _, c := range strings.ToLower(strings.ToValidUTF8(full, "")) {
		switch {
		case c == '\u0301' || c == '\u0300' || c == '\u0302' || c == '\u0308': // combining accents
			continue
		case c == '♭':
			b.WriteString("b ")
		case unicode.IsLetter(c):
			if unicode.IsDigit(before) {
				b.WriteByte(' ')
			}
			b.WriteString(unaccented(c))
		case unicode.IsDigit(c):
			if unicode.IsLetter(before) {
				b.WriteByte(' ')
			}
			b.WriteRune(c)
		default:
			b.WriteByte(' ')
		}
		before = c
	}
	return keysJoined(strings.Fields(vowels.Replace(b.String())))
}

// unaccented is c without its accent, for the letters of score terms.
func unaccented(c rune) string {
	const accented, bare = "àáâäãåçèéêëìíîïñòóôöõùúûüýÿ", "aaaaaaceeeeiiiinooooouuuuyy"
	if i := slices.Index([]rune(accented), c); i >= 0 {
		return bare[i : i+1]
	}
	switch c {
	case 'œ':
		return "oe"
	case 'æ':
		return "ae"
	case 'ß':
		return "ss"
	}
	return string(c)
}

// vowels makes one spelling of the two that German has for its umlauts. The
// terms are spelt in the same way.
var vowels = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

// keysJoined makes one word of a key, "e flat" or "mi b", and one of it and the
// "in" before it, so that neither passes for an instrument.
func keysJoined(tokens []string) []string {
	out := tokens[:0]
	for i := 0; i < len(tokens); i++ {
		t, in := tokens[i], ""
		if (t == "in" || t == "en") && i+1 < len(tokens) {
			i++
			t, in = tokens[i], "in-"
		}
		if i+1 < len(tokens) {
			switch flat := tokens[i+1]; {
			case len(t) == 1 && t >= "a" && t <= "g" && flat == "flat":
				t += "b"
				i++
			case solfege[t] != "" && (flat == "flat" || flat == "b" || flat == "bemol" || flat == "bemolle"):
				t = solfege[t] + "b"
				i++
			}
		}
		out = append(out, in+t)
	}
	return out
}

// solfege are the letters of the notes that clarinets are flattened to.
var solfege = map[string]string{"mi": "e", "si": "b", "la": "a", "re": "d"}
