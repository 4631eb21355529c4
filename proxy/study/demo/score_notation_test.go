package demo

import (
	"fmt"
	"strings"
	"testing"
)

// inWords puts a note as key@tick+length, velocity.
func inWords(notes []note) string {
	var s []string
	for _, n := range notes {
		s = append(s, fmt.Sprintf("%d@%d+%d v%d", n.key, n.tick, n.length, n.velocity))
	}
	return strings.Join(s, ", ")
}

func TestReadVoice(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"values carry on, plain notes end early", "mf c4:4. d4", "60@0+708 v80, 62@720+708 v80"},
		{"accidentals", "p f#3:4. bb3", "54@0+708 v49, 58@720+708 v49"},
		{"b-flat and c-flat cross the octave", "p cb4:4. b#3", "59@0+708 v49, 60@720+708 v49"},
		{"chord", "pp g4+b4:2.", "67@0+1428 v33, 71@0+1428 v33"},
		{"slurs overlap", "f c4:4.~ d4", "60@0+726 v96, 62@720+708 v96"},
		{"a slurred repeat stops short", "f c4:4.~ c4", "60@0+719 v96, 60@720+708 v96"},
		{"staccato is half", "f c4:8' r r r:4.", "60@0+120 v96"},
		{"hold through the bar line", "f r:4. c4 | =:2.", "60@720+2148 v96"},
		{"hold, then slur", "f c4:2. | =:4.~ d4", "60@0+2166 v96, 62@2160+708 v96"},
		{"repeated", "ff c4:4.*4 r", ""},
		{"roll", "ff c4:4*8 r:4.. ", ""},
		{"measured repeats", "ff c4:4*8 r:8 r:4.", "60@0+228 v112, 60@240+228 v112"},
		{"staccato repeats", "ff c4:4*8' r:8 r:4.", "60@0+120 v112, 60@240+120 v112"},
		{"hairpin", "p < c4:4. d4 | f e4:2.", "60@0+708 v49, 62@720+708 v72, 64@1440+1428 v96"},
		{"falling hairpin", "f > c4:4. d4 | p r:2.", "60@0+708 v96, 62@720+708 v73"},
	} {
		t.Run(c.name, func(t *testing.T) {
			notes, err := readVoice([]phrase{{1, c.text}})
			if (err != nil) != (c.want == "") {
				t.Fatalf("readVoice(%q): error %v", c.text, err)
			}
			if got := inWords(notes); got != c.want {
				t.Errorf("readVoice(%q)\n got %s\nwant %s", c.text, got, c.want)
			}
		})
	}
}

func TestReadVoiceErrors(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"c4:2.", "bar 3, \"c4:2.\": a phrase begins with a dynamic"},
		{"mf c4", "bar 3, \"c4\": the first note of a phrase needs a value"},
		{"mf c4:2. | d4:4.", "bar 4 is 720 ticks long instead of 1440"},
		{"mf c4:2. | h4", "bar 4, \"h4\": is not a note, a rest or a dynamic"},
		{"mf c4:3", "bar 3, \"c4:3\": value 3 is none of 1, 2, 4, 8, 16, 32"},
		{"mf g#9:2.", "bar 3, \"g#9:2.\": g#9 is above the highest MIDI note"},
		{"mf c4:4.*4 r", "bar 3, \"c4:4.*4\": the value is no multiple of the repeated one"},
		{"mf c4:2.~", "the phrase that ends with bar 3 ends within a slur or a hairpin"},
		{"mf < c4:2.", "the phrase that ends with bar 3 ends within a slur or a hairpin"},
		{"mf c4:4.~ r", "bar 3, \"r\": a rest cannot be slurred into, slurred, repeated or staccato"},
		{"mf r:4. =", "bar 3, \"=\": there is no note before it to be held on"},
		{"mf < c4:2. | p c4", "bar 4, \"p\": the hairpin < does not lead here"},
		{"< c4:2.", "bar 3, \"<\": a hairpin needs a dynamic before it"},
	} {
		_, err := readVoice([]phrase{{3, c.text}})
		if err == nil || err.Error() != c.want {
			t.Errorf("readVoice(%q): error %v, want %s", c.text, err, c.want)
		}
	}
	notes, err := readVoice([]phrase{{1, "p < c4:2.~"}, {2, "f d4:4. c4"}})
	if got, want := inWords(notes), "60@0+1446 v49, 62@1440+708 v96, 60@2160+708 v96"; err != nil || got != want {
		t.Errorf("a slur into the next phrase: %s, error %v", got, err)
	}
	_, err = readVoice([]phrase{{1, "p < c4:2.~"}, {3, "f d4:4. c4"}})
	if err == nil || !strings.Contains(err.Error(), "ends with bar 1") {
		t.Errorf("a slur over a silent bar: error %v", err)
	}
	_, err = readVoice([]phrase{{1, "p c4:2. | c4"}, {2, "p c4:2."}})
	if err == nil || !strings.Contains(err.Error(), "phrase at bar 2 begins before") {
		t.Errorf("overlapping phrases: error %v", err)
	}
}
