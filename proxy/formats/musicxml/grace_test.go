package musicxml

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// Grace notes come on the beat or before it, as is chosen; a lone one without a slash stays on it.
func TestGraceByChoice(t *testing.T) {
	slashed := strings.Replace(grace, "<grace/>", `<grace slash="yes"/>`, 1)
	early := strings.Replace(grace, "<grace/>", `<grace steal-time-previous="10"/>`, 1)
	long := strings.Replace(grace, "</note>", "<type>quarter</type></note>", 1)
	bar := `</measure><measure number="2">`
	for _, c := range []struct {
		name, content string
		grace         Grace
		want          []string // beat, length and key
	}{
		{"as written", quarter("C", 4) + slashed + quarter("D", 4), GraceAsWritten, []string{"0 1 C4", "1 0.125 B3", "1.125 0.875 D4"}},
		{"before", quarter("C", 4) + slashed + quarter("D", 4), GraceBeforeBeat, []string{"0 0.875 C4", "0.875 0.125 B3", "1 1 D4"}},
		{"two before", quarter("C", 4) + grace + grace + quarter("D", 4), GraceBeforeBeat, []string{"0 0.75 C4", "0.75 0.125 B3", "0.875 0.125 B3", "1 1 D4"}},
		{"on, though the file says before", quarter("C", 4) + early + quarter("D", 4), GraceOnBeat, []string{"0 1 C4", "1 0.125 B3", "1.125 0.875 D4"}},
		{"before a bar line", noteOf("C", 4, 4, "") + bar + slashed + quarter("D", 4), GraceBeforeBeat, []string{"0 3.875 C4", "3.875 0.125 B3", "4 1 D4"}},
		{"as the file says, before a bar line", noteOf("C", 4, 4, "") + bar + early + quarter("D", 4), GraceAsWritten, []string{"0 3.875 C4", "3.875 0.125 B3", "4 1 D4"}},
		{"at the start", slashed + quarter("D", 4), GraceBeforeBeat, []string{"0 0.125 B3", "0.125 0.875 D4"}},
		{"after a rest", `<note><rest/><duration>1</duration></note>` + slashed + quarter("D", 4), GraceBeforeBeat, []string{"0.875 0.125 B3", "1 1 D4"}},
		{"a long one", quarter("C", 4) + long + noteOf("D", 4, 2, ""), GraceBeforeBeat, []string{"0 1 C4", "1 1 B3", "2 1 D4"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := c.grace.read([]byte(measureOf(c.content)))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, n := range d.Score.Notes {
				got = append(got, fmt.Sprintf("%g %g %s", n.Beat, n.Length, keyText(n.Key)))
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%q, want %q", got, c.want)
			}
		})
	}
}
