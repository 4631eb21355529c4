package profiles

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// drumChannel is General MIDI's channel of percussion (GM 1, from memory).
const drumChannel = 10

// Guess finds a profile for a part that no seating names, and says why. A name
// beats the program, unless it says nothing or has more than one meaning; the
// percussion channel beats its program, which there means a set of drums. What
// is not known at all is played as it comes. The ways in which strings
// play, which a score's "pizz." and "trem." call by program, are variants of the profile.
//
// Names are score terms in English, Italian, German and French with their usual
// abbreviations. The profile is always one of the built-in ones.
func Guess(h Hint) (profile, why string) {
	track, instrument := nameOf(h.Track), nameOf(h.Instrument)
	for _, n := range []struct {
		what string
		name
	}{{"track", track}, {"instrument", instrument}} {
		if n.profile != "" && n.program == nil {
			return n.profile, fmt.Sprintf("the %s name %q", n.what, shortened(n.full))
		}
	}
	for _, n := range []name{track, instrument} {
		if n.profile == "" {
			continue
		}
		if h.HasProgram {
			if p, ok := n.program[h.Program]; ok {
				return p, fmt.Sprintf("the name %q and program %d", shortened(n.full), h.Program)
			}
		}
		return n.profile, fmt.Sprintf("the name %q, of whose meanings this is the likeliest", shortened(n.full))
	}
	if h.Channel == drumChannel {
		return "drum-kit", "channel 10 is percussion in General MIDI"
	}
	if h.HasProgram && h.Program >= 1 && h.Program <= len(programs) {
		return programs[h.Program-1], fmt.Sprintf("program %d of General MIDI", h.Program)
	}
	return plain, "neither a name nor a program says what it is"
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
	tokens := tokensOf(full)
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
		return name{}
	}
	rest := slices.Concat(tokens[:from], tokens[from+length:])
	n := name{full: full, word: best, profile: played(terms[best], rest), program: doubtful[best]}
	if n.profile != terms[best] {
		n.program = nil // the rest of the name has settled it
	}
	return n
}

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
	case soloOf[profile] != "" && has("solo", "soloist", "solista", "solist", "soliste"):
		return soloOf[profile]
	}
	if profile == "violins" {
		first := has("1", "i", "first", "primo", "primi", "erste", "premier", "premiers")
		second := has("2", "ii", "second", "secondo", "secondi", "zweite", "seconds")
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
