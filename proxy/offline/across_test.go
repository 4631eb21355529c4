package offline

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Rolled chords and glissandi are played out in the file that is made of a score, or left out. The
// times are in sixty-fourths of a quarter note.
func TestAcrossNotesOfAFile(t *testing.T) {
	note := func(pitch string, more string) string {
		return fmt.Sprintf(`<note>%s<pitch><step>%s</step><octave>%s</octave></pitch><duration>1</duration>%s</note>`,
			map[bool]string{true: "<chord/>"}[strings.Contains(more, "chord")], pitch[:1], pitch[1:], strings.ReplaceAll(more, "chord", ""))
	}
	sign := func(s string) string { return "<notations>" + s + "</notations>" }
	up, down := sign("<arpeggiate/>"), sign(`<arpeggiate direction="down"/>`)
	numbered := sign(`<arpeggiate number="1"/>`)
	two, back := "<staff>2</staff>", "<backup><duration>1</duration></backup>"
	from := func(name string, n int) string { return sign(fmt.Sprintf(`<%s type="start" number="%d"/>`, name, n)) }
	to := func(name string, n int) string { return sign(fmt.Sprintf(`<%s type="stop" number="%d"/>`, name, n)) }
	for _, c := range []struct {
		name, sound, content string
		played, left         string // keys, each with when it starts
	}{
		{"rolled up", "", note("C4", up) + note("E4", "chord"+up) + note("G4", "chord"+up), "60@0 64@4 67@8", "60@0 64@0 67@0"},
		{"rolled down", "", note("C4", down) + note("E4", "chord"+down) + note("G4", "chord"+down), "67@0 64@4 60@8", "60@0 64@0 67@0"},
		{"one has the sign for all", "", note("C4", up) + note("E4", "chord"), "60@0 64@4", "60@0 64@0"},
		{"some are struck together", "", note("C4", up) + note("E4", "chord"+up) + note("G4", "chord"+sign("<non-arpeggiate/>")), "60@0 67@0 64@4", "60@0 64@0 67@0"},
		{"together", "", note("C4", sign("<non-arpeggiate/>")) + note("E4", "chord"+sign("<non-arpeggiate/>")), "60@0 64@0", "60@0 64@0"},
		{"two staves as one", "", note("C5", numbered) + note("E5", "chord"+numbered) + back + note("C3", two+numbered) + note("G3", "chord"+two+numbered),
			"48@0 55@4 72@8 76@12", "48@0 55@0 72@0 76@0"},
		{"two staves by themselves", "", note("C5", up) + note("E5", "chord"+up) + back + note("C3", two+up) + note("G3", "chord"+two+up),
			"48@0 72@0 55@4 76@4", "48@0 55@0 72@0 76@0"},
		{"chromatic", "wind.flutes.flute", note("C4", from("glissando", 1)) + note("E4", to("glissando", 1)), "60@0 61@18 62@33 63@49 64@64", "60@0 64@64"},
		{"white keys", "keyboard.piano", note("C4", from("glissando", 1)) + note("F4", to("glissando", 1)), "60@0 62@33 64@49 65@64", "60@0 65@64"},
		{"of a harp", "pluck.harp", `<attributes><key><fifths>-3</fifths></key></attributes>` + note("C4", from("glissando", 1)) + note("F4", to("glissando", 1)), "60@0 62@33 63@49 65@64", "60@0 65@64"},
		{"two at once", "", note("C4", from("slide", 1)) + note("G4", "chord"+from("slide", 2)) + note("D4", to("slide", 1)) + note("F4", "chord"+to("slide", 2)),
			"60@0 67@0 61@49 66@49 62@64 65@64", "60@0 67@0 62@64 65@64"},
		{"without an end", "", note("C4", from("slide", 1)) + note("G4", ""), "60@0 67@64", "60@0 67@64"},
		{"of another kind", "", note("C4", from("slide", 1)) + note("G4", to("glissando", 1)), "60@0 67@64", "60@0 67@64"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "piece.musicxml")
			text := `<score-partwise><part-list><score-part id="P"><score-instrument id="I"><instrument-sound>` + c.sound + `</instrument-sound></score-instrument></score-part></part-list>` +
				`<part id="P"><measure number="1"><sound tempo="120"/>` + c.content + `</measure></part></score-partwise>`
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			for how, want := range map[Ornaments]string{PlayOrnaments: c.played, LeaveOrnaments: c.left} {
				file, _, err := ReadPiece(path, how)
				if err != nil {
					t.Fatal(err)
				}
				var got []string
				for _, e := range file.Tracks[1].Events {
					if e.Data[0]&0xF0 == 0x90 {
						got = append(got, fmt.Sprintf("%d@%d", e.Data[1], (e.Tick*64+ticksPerQuarter/2)/ticksPerQuarter))
					}
				}
				if s := strings.Join(got, " "); s != want {
					t.Errorf("ornaments %v: %s, want %s", how, s, want)
				}
			}
		})
	}
}
