package musicxml

import "strings"

// tempoWords are the tempos of words that begin a direction, in quarter notes a minute. They are
// ours, near the middle of what metronome scales print (from memory, no single source), and
// are read only where the file gives no number.
var tempoWords = []struct {
	word      string
	perMinute float64
}{
	{"grave", 40}, {"larghissimo", 40}, {"larghetto", 63}, {"largo", 50}, {"lento", 54},
	{"adagietto", 70}, {"adagio", 66}, {"andantino", 84}, {"andante", 76},
	{"moderato", 108}, {"allegretto", 112}, {"allegro moderato", 116}, {"allegro", 132},
	{"vivacissimo", 172}, {"vivace", 160}, {"prestissimo", 200}, {"presto", 184},
}

// gradualQuarters is how many quarter notes a gradual change goes on, unless another mark
// ends it; it is ours, not published.
const gradualQuarters = 8

// The share of the tempo that a gradual change ends at; ours, not published.
const (
	slowing = 0.75
	hurry   = 1.25
)

var changeWords = []struct {
	word string
	mark tempoMark
}{
	{"a tempo", tempoMark{kind: back}},
	{"in tempo", tempoMark{kind: back}},
	{"tempo primo", tempoMark{kind: backHome}},
	{"tempo i", tempoMark{kind: backHome}},
	{"rit", tempoMark{kind: gradual, value: slowing}},
	{"poco rit", tempoMark{kind: gradual, value: slowing}},
	{"molto rit", tempoMark{kind: gradual, value: slowing}},
	{"rall", tempoMark{kind: gradual, value: slowing}},
	{"poco rall", tempoMark{kind: gradual, value: slowing}},
	{"molto rall", tempoMark{kind: gradual, value: slowing}},
	{"accel", tempoMark{kind: gradual, value: hurry}},
	{"poco accel", tempoMark{kind: gradual, value: hurry}},
	{"stringendo", tempoMark{kind: gradual, value: hurry}},
}

// tempoOf reads words that are about the tempo. A word of the tables counts where the
// words begin with it: "rit" is in "ritardando", "allegro" in "Allegro con brio".
func tempoOf(words string) (tempoMark, bool) {
	words = strings.ToLower(strings.Join(strings.Fields(words), " "))
	for _, t := range tempoWords {
		if rest, ok := strings.CutPrefix(words, t.word); ok && (rest == "" || rest[0] < 'a' || rest[0] > 'z') {
			return tempoMark{kind: named, value: t.perMinute}, true
		}
	}
	for _, c := range changeWords {
		if strings.HasPrefix(words, c.word) {
			return c.mark, true
		}
	}
	return tempoMark{}, false
}

// leadOf reads words that say who is to be in front, "Solo", and that nobody is any more: "tutti", "a 2". With a number,
// "1. solo", they say only which of several players plays.
func leadOf(words string) (kind, bool) {
	words = strings.ToLower(strings.Join(strings.Fields(words), " "))
	letters := func(r rune) bool { return r < 'a' || r > 'z' }
	for i, word := range strings.FieldsFunc(words, letters) {
		switch {
		case word == "tutti", word == "ripieno", i == 0 && strings.HasPrefix(word, "unis"):
			return following, true
		case word != "solo" && word != "soli":
		case strings.ContainsAny(words, "0123456789"), i > 0 && strings.Trim(words[:strings.Index(words, word)], "iv. ") == "":
			return 0, false
		default:
			return leading, true
		}
	}
	return following, strings.HasPrefix(words, "a 2") || strings.HasPrefix(words, "a2")
}

// swellOf reads words that are about growing louder or softer.
func swellOf(words string) (kind, bool) {
	for word := range strings.FieldsSeq(strings.ToLower(words)) {
		switch {
		case strings.HasPrefix(word, "cresc"):
			return growing, true
		case strings.HasPrefix(word, "decresc"), strings.HasPrefix(word, "dim."), strings.HasPrefix(word, "dimin"), word == "dim":
			return fading, true
		}
	}
	return 0, false
}
