package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"swellbox/expr"
	"swellbox/profiles"
)

var update = flag.Bool("update", false, "rewrite the golden files; look at them before committing")

// bright is a profile with everything that is drawn; struck has little. They give
// their own numbers, so that the pictures do not follow those of the built-in ones.
const (
	bright = `swellbox: 1
name: bright
family: strings
players: 6
marks:
  amount: 0.8
  carried_by: both
  reading: {points: [{velocity: 1, level_db: -30}, {velocity: 33, level_db: -12.6}, {velocity: 80, level_db: 0}, {velocity: 112, level_db: 8}, {velocity: 127, level_db: 9.5}]}
bloom: {amount: 1, swell_db: 1, swell_ms: 700}
orchestra_weight: {amount: 1, extra_db: 2, starts_at_db: -8.4, full_at_db: 4.2}
vibrato:
  amount: 1
  low_pitch: 55
  high_pitch: 88
  depth_low_cents: 40
  depth_high_cents: 108
  rate_low_hz: 5.7
  rate_high_hz: 6.3
  depth_percent_per_db: 2
  onset_ms: 200
  growth_ms: 600
  slur_gap_ms: 420
  open_strings: [55, 62]
sampler:
  velocity: {curve: standard}
  level: {controller: 11, curve: standard}
  brightness: {controller: 74, points: [{value: 0, db: -12}, {value: 64, db: 0}, {value: 127, db: 12}]}
  brightness_db_per_db: 0.5
`
	struck = `swellbox: 1
name: struck
family: keyboard
players: 1
marks: {amount: 1, carried_by: velocity, reading: sampler}
vibrato: {amount: 0}
sampler: {velocity: {range_db: 40}}
`
)

func library(t testing.TB) *profiles.Library {
	t.Helper()
	l, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	for _, doc := range []string{bright, struck} {
		d, err := profiles.Parse("test", []byte(doc))
		if err != nil {
			t.Fatal(err)
		}
		if err := l.Add(d); err != nil {
			t.Fatal(err)
		}
	}
	return l
}

func resolved(t testing.TB, l *profiles.Library, name string) *expr.Profile {
	t.Helper()
	p, err := l.Resolve(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s has changed; if that is meant, run with -update and look at it. Found:\n%s", file, got)
	}
}

func TestGolden(t *testing.T) {
	l := library(t)
	for _, name := range []string{"bright", "struck"} {
		p := resolved(t, l, name)
		for ending, draw := range map[string]func(io.Writer) error{
			".txt":       func(w io.Writer) error { return Terminal(w, p, 80) },
			"-ascii.txt": func(w io.Writer) error { return TerminalASCII(w, p, 60) },
			".svg":       func(w io.Writer) error { return SVG(w, p) },
		} {
			var b bytes.Buffer
			if err := draw(&b); err != nil {
				t.Fatal(err)
			}
			golden(t, name+ending, b.Bytes())
		}
	}
}

// Whatever the profile and the width, no line is too long, ASCII is ASCII, and the
// picture is well formed with a title and a description that says what is drawn.
func TestManyBuiltins(t *testing.T) {
	l := library(t)
	for _, name := range l.Names() {
		p := resolved(t, l, name)
		for _, width := range []int{-1, 48, 80, 1000} {
			var b, a bytes.Buffer
			if err := errors.Join(Terminal(&b, p, width), TerminalASCII(&a, p, width)); err != nil {
				t.Fatal(err)
			}
			most := min(max(width, leastWidth), mostWidth)
			for line := range strings.Lines(b.String() + a.String()) {
				if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > most {
					t.Errorf("%s at %d: a line of %d: %q", name, width, n, line)
				}
			}
			if strings.ContainsFunc(a.String(), func(c rune) bool { return c > 126 || c < ' ' && c != '\n' }) {
				t.Errorf("%s is not ASCII:\n%s", name, &a)
			}
		}
		checkSVG(t, p)
	}
}

func checkSVG(t *testing.T, p *expr.Profile) {
	t.Helper()
	var b bytes.Buffer
	if err := SVG(&b, p); err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Role  string `xml:"role,attr"`
		Title string `xml:"title"`
		Desc  string `xml:"desc"`
	}
	if err := xml.Unmarshal(b.Bytes(), &doc); err != nil {
		t.Fatalf("%s: %v", p.Name, err)
	}
	if doc.Role != "img" || !strings.Contains(doc.Title, p.Name) {
		t.Errorf("%s: role %q, title %q", p.Name, doc.Role, doc.Title)
	}
	for _, pl := range panels(p) {
		for _, words := range append(pl.words, pl.title) {
			if !strings.Contains(doc.Desc, words) {
				t.Errorf("%s: the description does not say %q", p.Name, words)
			}
		}
	}
	if s := b.String(); strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || strings.Contains(s, "href") {
		t.Errorf("%s: the picture has no number somewhere, or needs another file", p.Name)
	}
}

// The plots are those that have something to show.
func TestPanels(t *testing.T) {
	l := library(t)
	for name, want := range map[string]string{
		"plain":  "What a velocity means; How the sampler answers to velocity",
		"cellos": "What a velocity means; What controller 11 is sent for a level; Vibrato depth over the register; Growth of the vibrato",
		"bright": "What a velocity means; What controller 11 is sent for a level; How the sampler answers to velocity; " +
			"Vibrato depth over the register; Growth of the vibrato; What controller 74 is sent for the brightness",
	} {
		var titles []string
		for _, pl := range panels(resolved(t, l, name)) {
			titles = append(titles, pl.title)
		}
		if got := strings.Join(titles, "; "); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

type full struct{}

var errFull = errors.New("the disk is full")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestWriteErrors(t *testing.T) {
	p := resolved(t, library(t), "bright")
	for name, err := range map[string]error{"text": Terminal(full{}, p, 80), "picture": SVG(full{}, p)} {
		if !errors.Is(err, errFull) {
			t.Errorf("%s: %v, want that the disk is full", name, err)
		}
	}
}
