package offline

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// All wait at fermatas and caesuras, and before a caesura they are silent. A quarter note lasts half a second.
func TestHoldsOfAFile(t *testing.T) {
	note := func(step string, length int, more string) string {
		return fmt.Sprintf(`<note><pitch><step>%s</step><octave>4</octave></pitch><duration>%d</duration>%s</note>`, step, length, more)
	}
	const fermata, caesura = "<notations><fermata/></notations>", "<notations><articulations><caesura/></articulations></notations>"
	for _, c := range []struct {
		name, one, other string
		want             string // when notes start and end, in ms, after the keys; of all parts
	}{
		{"fermata", note("C", 1, fermata) + note("D", 1, ""), note("E", 1, "") + note("F", 1, ""), "60:0-1000 62:1000-1500 64:0-1000 65:1000-1500"},
		{"of a long note", note("C", 4, fermata) + note("D", 1, ""), note("E", 3, "") + note("G", 1, "") + note("F", 1, ""),
			"60:0-3000 62:3000-3500 64:0-1500 67:1500-3000 65:3000-3500"},
		{"in all parts", note("C", 1, fermata) + note("D", 1, ""), note("E", 1, fermata) + note("F", 1, ""), "60:0-1000 62:1000-1500 64:0-1000 65:1000-1500"},
		{"caesura", note("C", 1, caesura) + note("D", 1, ""), note("E", 1, "") + note("F", 1, ""), "60:0-438 62:1000-1500 64:0-438 65:1000-1500"},
		{"both", note("C", 2, fermata) + note("D", 1, ""), note("E", 2, caesura) + note("F", 1, ""), "60:0-1438 62:2000-2500 64:0-1438 65:2000-2500"},
		{"twice", note("C", 1, fermata) + note("D", 1, fermata) + note("E", 1, ""), note("F", 2, ""), "60:0-1000 62:1000-2000 64:2000-2500 65:0-2000"},
		{"none", note("C", 1, "") + note("D", 1, ""), note("E", 2, ""), "60:0-500 62:500-1000 64:0-1000"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "piece.musicxml")
			text := `<score-partwise><part-list><score-part id="P"/><score-part id="Q"/></part-list>` +
				`<part id="P"><measure number="1"><sound tempo="120"/>` + c.one + `</measure></part><part id="Q"><measure number="1">` + c.other + `</measure></part></score-partwise>`
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			file, piece, err := ReadPiece(path, PlayOrnaments)
			if err != nil {
				t.Fatal(err)
			}
			ms := func(d time.Duration) string { return fmt.Sprint(d.Round(time.Millisecond).Milliseconds()) }
			var told []string
			for part := range piece.Parts {
				for _, n := range piece.Notes {
					if int(n.Part) == part {
						told = append(told, fmt.Sprintf("%d:%s-%s", n.Key, ms(n.On), ms(n.Off)))
					}
				}
			}
			if got := strings.Join(told, " "); got != c.want {
				t.Errorf("the score has %s, want %s", got, c.want)
			}
			timeline, err := NewTimeline(file, 0)
			if err != nil {
				t.Fatal(err)
			}
			for _, n := range timeline.Score().Notes { // the file says the same, to a tick and a µs of tempo
				found := false
				for _, w := range piece.Notes {
					found = found || w.Key == n.Key && (w.On-n.On).Abs() < 2*time.Millisecond && (w.Off-n.Off).Abs() < 2*time.Millisecond
				}
				if !found {
					t.Errorf("the file has key %d from %v to %v, and the score not", n.Key, n.On, n.Off)
				}
			}
		})
	}
}
