package names

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// count is how many players a name tells of.
type count struct {
	number int    // 0: as many as the profile has
	by     string // how it was found
	share  int    // from 0: which of the parts into which a section divides
	of     int    // how many these are; 0 where nothing is divided
}

// How a number of players was found; shares of a divided section have words of their own.
const (
	ByName    = "named"
	ByPlural  = "plural"
	BySection = "usual size of a section"
	BySeating = "seating"
	ByOne     = "one player"
)

// numberWords are the numbers that scores write out.
var numberWords = map[string]int{
	"two": 2, "zwei": 2, "due": 2, "deux": 2, "dos": 2, "three": 3, "drei": 3, "tre": 3, "trois": 3, "tres": 3,
	"four": 4, "vier": 4, "quattro": 4, "quatre": 4, "cuatro": 4, "five": 5, "funf": 5, "cinque": 5, "cinq": 5, "cinco": 5,
	"six": 6, "sechs": 6, "sei": 6, "seis": 6, "eight": 8, "acht": 8, "otto": 8, "huit": 8, "ocho": 8,
}

var ordinals = []string{"st", "nd", "rd", "th", "er", "ers", "re", "res", "e", "es", "eme", "de", "des", "ds", "d", "o", "os", "ste", "te", "ten"}

var (
	dividers  = []string{"div", "divisi", "divise", "divises", "divided", "geteilt", "get", "half", "halfte", "meta", "moitie", "mitad"}
	deskWords = []string{"pult", "pulte", "desk", "desks", "pupitre", "pupitres", "leggio", "leggii", "atril", "atriles"}
	andWords  = []string{"and", "und", "u", "e", "et", "y", "ed"}
	toWords   = []string{"to", "bis", "al"}
)

// most is the most players that a list of numbers can mean: more are not counted like that.
const most = 16

// item is a word or number of a name.
type item struct {
	word   string // folded
	number int    // of digits, or of a Roman number; 0
	small  bool   // it was not written in capitals
	gap    string // what stands between it and the item before
	dot    bool   // a full stop follows
}

// itemsOf cuts a name into its words and numbers, with what stands between them.
func itemsOf(full string) []item {
	if len(full) > nameRead {
		full = full[:nameRead]
	}
	var items []item
	gap := ""
	kind := func(c rune) int {
		switch {
		case unicode.IsLetter(c) || unicode.Is(unicode.Mn, c):
			return 1
		case unicode.IsDigit(c):
			return 2
		}
		return 0
	}
	runes := []rune(strings.ToValidUTF8(full, ""))
	for i := 0; i < len(runes); {
		k, from := kind(runes[i]), i
		for i < len(runes) && kind(runes[i]) == k {
			i++
		}
		text := string(runes[from:i])
		if k == 0 {
			gap = text
			if n := len(items); n > 0 {
				items[n-1].dot = strings.HasPrefix(text, ".")
			}
			continue
		}
		it := item{gap: gap, small: unicode.IsLower(runes[from])}
		gap = ""
		if k == 2 {
			for _, c := range text {
				if it.number = it.number*10 + int(c-'0'); c > '9' || it.number > 999 {
					it.number = 999
				}
			}
		} else if words := tokensOf(text); len(words) > 0 {
			it.word = strings.Join(words, " ")
			it.number = roman(it.word)
		}
		items = append(items, it)
	}
	return items
}

// roman is a Roman number up to 12, 0 for what is none.
func roman(word string) int {
	return 1 + slices.Index([]string{"i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"}, word)
}

// run reads the numbers from items[i] on that are listed together, "1-4" or "I. II.": how many
// they are, the first of them, and where the list ends.
func run(items []item, i int) (n, first, end int) {
	if i >= len(items) || items[i].number == 0 {
		return 0, 0, i
	}
	first = items[i].number
	last := first
	for n = 1; ; {
		i++
		for i < len(items) && items[i].gap == "" && slices.Contains(ordinals, items[i].word) { // 1st, 2e
			i++
		}
		next, through := i, false
		if next < len(items) && items[next].number == 0 && (slices.Contains(andWords, items[next].word) || slices.Contains(toWords, items[next].word)) {
			through = slices.Contains(toWords, items[next].word)
			next++
		}
		if next >= len(items) || items[next].number <= last || items[next].number > last+most {
			return n, first, i
		}
		gap := strings.Trim(items[next].gap, " .")
		switch {
		case through || gap == "-" || gap == "–" || gap == "—":
			n += items[next].number - last
		case gap == "" || gap == "," || gap == "/" || gap == "&" || gap == "+":
			n++
		default:
			return n, first, i
		}
		last, i = items[next].number, next
	}
}

// countOf is how many players a name tells of, where its term plays with a profile.
func (r *Register) countOf(full, profile string) count {
	section := r.of[profile].Numbers == NumberSections
	usual := count{number: 1, by: ByOne}
	if r.of[profile].Numbers != NumberPlayers {
		usual = count{by: BySection}
	}
	if r.of[profile].Numbers == NumberOther {
		return usual
	}
	items := itemsOf(full)
	listed, ordinal, plural := 0, false, false
	for i := 0; i < len(items); {
		it := &items[i]
		if section && slices.Contains(dividers, it.word) {
			return divided(items, i)
		}
		if it.small && (it.word == "a" || it.word == "zu") && i+1 < len(items) && items[i+1].gap != "" {
			n := items[i+1].number
			if n == 0 {
				n = numberWords[items[i+1].word]
			}
			if n > 1 && n <= most && !section && (i == 0 || items[i-1].word != "in" && items[i-1].word != "en") {
				listed = max(listed, n)
				i += 2
				continue
			}
		}
		n, first, end := run(items, i)
		switch {
		case n == 0:
			plural = plural || r.plurals[it.word]
			if i == 0 && numberWords[it.word] > 0 {
				listed = numberWords[it.word]
			}
			i++
			continue
		case n > 1:
			listed = max(listed, n)
		case i == 0 && end == 1 && !it.dot && it.word == "" && first > 1 && first <= most: // "2 Flutes", and not "2. Flute"
			listed = max(listed, first)
			if strings.HasPrefix(profile, "violins") && first == 2 {
				listed = 0 // "2 Violin" are the seconds
			}
		default:
			ordinal = true
		}
		for _, at := range []int{i - 1, end} {
			if section && at >= 0 && at < len(items) && slices.Contains(deskWords, items[at].word) {
				return count{number: 2 * n, by: ByName}
			}
		}
		i = end
	}
	switch {
	case profile == "violins" && listed == 2:
		return count{by: BySection, of: bothViolins}
	case section && listed > 1 && items[0].number+numberWords[items[0].word] == listed:
		return count{number: listed, by: ByName}
	case section:
		return usual
	case listed > 0:
		return count{number: listed, by: ByName}
	case ordinal:
		return count{number: 1, by: ByName}
	case plural && profile != "percussion":
		return count{number: cmp.Or(r.of[profile].Several, usualSeveral), by: ByPlural}
	}
	return usual
}

// bothViolins stands for the two sections of violins together.
const bothViolins = -1

// divided is which share of a section is meant by what stands after "div.": the whole of it
// for "div. a 3", where all its voices are on one staff, or where nothing more is said.
func divided(items []item, i int) count {
	whole := count{by: BySection}
	if i+1 >= len(items) {
		if i > 0 && items[i].word != "div" && !slices.Contains(dividers[:7], items[i].word) { // "1st half", "obere Hälfte"
			return count{share: max(items[i-1].number-1, 0), of: 2}
		}
		return whole
	}
	next := &items[i+1]
	if next.word == "a" || next.word == "in" || next.word == "en" {
		if i+2 < len(items) && (items[i+2].number > 0 || numberWords[items[i+2].word] > 0) {
			return whole
		}
	}
	switch {
	case len(next.word) == 1 && next.word >= "a" && next.word <= "h":
		return count{share: int(next.word[0] - 'a'), of: 2}
	case next.number > 0 && next.number <= most:
		return count{share: next.number - 1, of: 2}
	}
	return whole
}

// players is how many c makes of a section's usual size, and how they were found. Where a section
// does not divide evenly, the first shares are the larger.
func (c count) players(usual int) (int, string) {
	switch {
	case c.of > 1:
		n := usual / c.of
		if c.share < usual%c.of {
			n++
		}
		return max(n, 1), shareWords(c.of)
	case c.number > 0:
		return c.number, c.by
	case usual == 1:
		return 1, ByOne
	}
	return usual, BySection
}

func shareWords(of int) string {
	switch of {
	case 2:
		return "half of a divided section"
	case 3:
		return "third of a divided section"
	case 4:
		return "quarter of a divided section"
	}
	return fmt.Sprintf("one of %d shares of a divided section", of)
}
