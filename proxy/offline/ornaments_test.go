package offline

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/proxy/formats/smf"
)

// What a score has of ornaments is played out in the file that is made of it, or left out.
func TestOrnamentsOfAFile(t *testing.T) {
	note := func(step string, duration int, more string) string {
		return fmt.Sprintf(`<note><pitch><step>%s</step><octave>4</octave></pitch><duration>%d</duration>%s</note>`, step, duration, more)
	}
	over := func(signs string) string {
		return `<notations><ornaments>` + signs + `</ornaments></notations>`
	}
	between := func(kind string) string { return over(`<tremolo type="` + kind + `">2</tremolo>`) }
	for _, c := range []struct {
		name, content string
		played, left  string // keys
	}{
		{"mordent", note("C", 1, over("<mordent/>")) + note("D", 1, ""), "60 59 60 62", "60 62"},
		{"tremolo", note("C", 1, over(`<tremolo type="single">2</tremolo>`)), "60 60 60 60", "60"},
		{"between two notes", note("C", 1, between("start")) + note("E", 1, between("stop")) + note("F", 1, ""), "60 64 60 64 60 64 60 64 65", "60 64 65"},
		{"between two chords", note("C", 1, between("start")) + note("D", 1, "<chord/>") + note("E", 1, between("stop")),
			"60 62 64 60 62 64 60 62 64 60 62 64", "60 62 64"},
		{"without a second note", note("C", 1, between("start")) + note("E", 1, ""), "60 64", "60 64"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "piece.musicxml")
			text := `<score-partwise><part-list><score-part id="P"><part-name>Flute</part-name></score-part></part-list><part id="P"><measure number="1">` +
				c.content + `</measure></part></score-partwise>`
			if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
			for how, want := range map[Ornaments]string{PlayOrnaments: c.played, LeaveOrnaments: c.left} {
				file, piece, err := ReadPiece(path, how)
				if err != nil {
					t.Fatal(err)
				}
				if got := keysOf(file); got != want {
					t.Errorf("ornaments %v: %s, want %s", how, got, want)
				}
				if got, want := len(piece.Notes), len(strings.Fields(want)); got != want {
					t.Errorf("the score has %d notes, want the %d that are played", got, want)
				}
			}
		})
	}
}

func keysOf(f *smf.File) string {
	var keys []string
	for _, tr := range f.Tracks {
		for _, e := range tr.Events {
			if len(e.Data) == 3 && e.Data[0]&0xF0 == 0x90 {
				keys = append(keys, fmt.Sprint(e.Data[1]))
			}
		}
	}
	return strings.Join(keys, " ")
}

// A change of the way to play stands before the note with which it begins, so that the profile
// plays that note by it.
func TestWaysOfAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "piece.musicxml")
	note := `<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>`
	text := `<score-partwise><part-list><score-part id="P"><score-instrument id="I"><instrument-sound>strings.violin</instrument-sound></score-instrument></score-part></part-list>` +
		`<part id="P"><measure number="1">` + note + `<direction><direction-type><words>pizz.</words></direction-type></direction>` + note + `</measure></part></score-partwise>`
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	file, _, err := ReadPiece(path, PlayOrnaments)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range file.Tracks[1].Events {
		switch e.Data[0] & 0xF0 {
		case 0x90, 0xC0:
			got = append(got, fmt.Sprintf("%X:%d", e.Data[0], e.Data[1]))
		}
	}
	if s := strings.Join(got, " "); s != "C0:40 90:60 C0:45 90:60" {
		t.Errorf("%s, want the program of plucked strings before the second note", s)
	}
}

// Grace notes are where they are chosen to be, in quarter notes of the file.
func TestGraceOfAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "piece.musicxml")
	text := `<score-partwise><part-list><score-part id="P"/></part-list><part id="P"><measure number="1">` +
		`<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>` +
		`<note><grace slash="yes"/><pitch><step>B</step><octave>3</octave></pitch></note>` +
		`<note><pitch><step>D</step><octave>4</octave></pitch><duration>1</duration></note></measure></part></score-partwise>`
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for how, want := range map[Ornaments]string{
		PlayOrnaments: "0 1 1.125", PlayOrnaments | GraceBeforeBeat: "0 0.875 1", LeaveOrnaments | GraceBeforeBeat: "0 0.875 1", GraceOnBeat: "0 1 1.125",
	} {
		_, piece, err := ReadPiece(path, how)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range piece.Notes {
			got = append(got, fmt.Sprint(n.Beat))
		}
		if s := strings.Join(got, " "); s != want {
			t.Errorf("%d: %s, want %s", how, s, want)
		}
	}
}
