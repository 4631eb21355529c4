package names

import (
	"slices"
	"strings"
	"unicode"
)

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

// nameRead is how much of a name is read, in bytes. No instrument's is longer.
const nameRead = 256
