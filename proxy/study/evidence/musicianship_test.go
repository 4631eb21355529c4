package evidence

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// finding is one statistic of what leaves, beside what is published of players.
type finding struct {
	what      string
	unit      string
	digits    int
	published string     // in words; the range below, if empty
	low, high float64    // of the published range, or of what counts as the published value
	got       [2]float64 // from, to
	source    string
	want      string // the verdict that is asserted
	why       string // of a verdict other than within
}

// Verdicts.
const (
	within = "within"
	below  = "below"
	above  = "above"
	reach  = "reaches in" // from below or above into the range
)

// verdict goes by what is printed.
func (f *finding) verdict() string {
	unit := math.Pow10(f.digits)
	from, to := math.Round(f.got[0]*unit)/unit, math.Round(f.got[1]*unit)/unit
	switch {
	case from >= f.low && to <= f.high:
		return within
	case to < f.low:
		return below
	case from > f.high:
		return above
	}
	return reach
}

// span writes a range in the finding's digits.
func (f *finding) span(from, to float64) string {
	a, b := fmt.Sprintf("%.*f", f.digits, from), fmt.Sprintf("%.*f", f.digits, to)
	if a == b {
		b = ""
	} else {
		a += " to "
	}
	return strings.TrimSpace(strings.ReplaceAll(a+b, "-", "−") + " " + f.unit)
}

func one(v float64) [2]float64 { return [2]float64{v, v} }

// both is the range of some values.
func both(v ...float64) [2]float64 {
	r := one(v[0])
	for _, x := range v {
		r = [2]float64{min(r[0], x), max(r[1], x)}
	}
	return r
}

// TestManyMusicianship measures what the habits of musicianship do to scores of our own, by the
// messages that leave alone, and holds it against what is published of players. What is
// out of a published range says why; the verdict is part of the test.
func TestManyMusicianship(t *testing.T) {
	var table bytes.Buffer
	table.WriteString(`# Musicianship

What leaves the engine, measured from its messages alone, beside what is published of
players. Every habit is on in its profile's amount unless a row names others. A published
figure "from memory" was recalled and not looked up; "secondary" was read in another text.
Made by ` + "`make evidence`" + `.
`)
	for _, chapter := range []struct {
		title    string
		findings []finding
	}{
		{"Together in time", togetherness(t)},
		{"Phrases and endings in time", phrasing(t)},
		{"Level and voicing", levelling(t)},
		{"Articulation", articulation(t)},
		{"Vibrato", vibrato(t)},
		{"Pedal", pedalling(t)},
	} {
		fmt.Fprintf(&table, "\n## %s\n\n| what | measured | published | verdict | source |\n|---|---|---|---|---|\n", chapter.title)
		var notes []string
		for _, f := range chapter.findings {
			published, verdict := f.published, f.verdict()
			if published == "" {
				published = f.span(f.low, f.high)
			}
			if verdict != f.want {
				t.Errorf("%s: %s is %s what is published, %s; expected %s", f.what, f.span(f.got[0], f.got[1]), verdict, f.span(f.low, f.high), f.want)
			}
			if (verdict != within) != (f.why != "") {
				t.Errorf("%s is %s and has the reason %q", f.what, verdict, f.why)
			}
			if f.why != "" {
				notes = append(notes, f.why)
				verdict += fmt.Sprintf(" (%d)", len(notes))
			}
			fmt.Fprintf(&table, "| %s | %s | %s | %s | %s |\n", f.what, f.span(f.got[0], f.got[1]), published, verdict, f.source)
		}
		for i, note := range notes {
			if i == 0 {
				table.WriteString("\n")
			}
			fmt.Fprintf(&table, "%d. %s\n", i+1, note)
		}
	}
	compare(t, "musicianship.md", table.Bytes())
}

// compare holds a piece of evidence against its file, or writes that.
func compare(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("..", "..", "..", "testdata", "evidence", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want, got) {
		t.Errorf("%s is out of date; run make evidence and look at the difference", path)
	}
}
