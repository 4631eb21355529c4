package lesson

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/profiles"
	"swellbox/proxy/browsing"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

const words = `Hear the **strings** first. <script>window.told = 1</script> [here](javascript:told=1)

## Bars 9-10

Where does it vanish?
`

// asked is a lesson on two stretches of the built-in score, one with a warning of the balance report in it.
func asked(t *testing.T) *Asked {
	t.Helper()
	library, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	return &Asked{Piece: demo.BuiltIn(), Cast: &perform.Cast{Library: library}, Bars: []string{"9-11", "24-25"}, Words: ReadWords([]byte(words)), Ear: Ear{Questions: 2, Seed: 1}}
}

// made is that lesson, made once: it takes seconds.
var made *Lesson

func lesson(t *testing.T) (*Lesson, string) {
	t.Helper()
	if made == nil {
		l, err := Make(t.Context(), asked(t))
		if err != nil {
			t.Fatal(err)
		}
		made = l
	}
	var b bytes.Buffer
	if err := made.Write(&b); err != nil {
		t.Fatal(err)
	}
	return made, b.String()
}

// A student opens the page from a file: see testdata/page.mjs. SWELLBOX_PICTURES names a folder for pictures of it.
func TestInTheBrowser(t *testing.T) {
	l, text := lesson(t)
	file := filepath.Join(t.TempDir(), "lesson.html")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	browsing.Run(t, "testdata/page.mjs", func(kind, code string, _ io.Writer) { handedIn(t, l, code) }, "file://"+file, os.Getenv("SWELLBOX_PICTURES"))
}

// handedIn checks the code of somebody who had the first question wrong.
func handedIn(t *testing.T, l *Lesson, code string) {
	t.Helper()
	all, err := ReadResults("Group 2: "+code, "results")
	if err != nil || len(all) != 1 || all[0].Who != "Group 2" || all[0].Lesson != l.Title || len(all[0].Answers) != len(l.Questions) {
		t.Fatalf("the code of the page reads as %+v, %v", all, err)
	}
	for i, a := range all[0].Answers {
		if q := l.Questions[i]; a != (Answer{q.Skill, q.Amount, q.Unit, i > 0}) {
			t.Errorf("answer %d is %+v to %+v", i+1, a, q)
		}
	}
}

func TestTakes(t *testing.T) {
	l, text := lesson(t)
	want := [][]string{{"raw", "shaped, in the hall", "shaped, in a studio", "", "", "", ""}, {"raw", "shaped, in the hall", "shaped, in a studio", "", "", "balance as written", "balance mended"}}
	seconds := 0.
	for i, s := range l.Stretches {
		if len(s.Takes) != len(want[i]) {
			t.Fatalf("%s has %d takes, want %d", s.Name, len(s.Takes), len(want[i]))
		}
		for n, take := range s.Takes {
			if want[i][n] != "" && take.Name != want[i][n] || want[i][n] == "" && !strings.HasSuffix(take.Name, " alone") {
				t.Errorf("%s, take %d is %q, want %q", s.Name, n+1, take.Name, want[i][n])
			}
		}
		seconds += s.Length + ring.Seconds()
	}
	for _, q := range l.Questions { // beside the takes
		text = strings.NewReplacer(string(q.Audio[0]), "", string(q.Audio[1]), "").Replace(text)
	}
	if most := 5e6 / 60 * seconds; float64(len(text)) > most {
		t.Errorf("the page has %d bytes, and %.0f s of it may have %.0f", len(text), seconds, most)
	}
	if !l.Stereo {
		t.Errorf("at %d kbit/s it is mono", l.Kbps)
	}
}

// The page says of the music what the report says, and of the players what they do there.
func TestListenFor(t *testing.T) {
	l, _ := lesson(t)
	warned := l.Stretches[1].Listen[0]
	if !strings.HasPrefix(warned.Bars, "bar") || warned.Why == "" || warned.Try == "" {
		t.Errorf("bars 24–25 begin with %+v, want the warning of the balance report", warned)
	}
	for _, s := range l.Stretches {
		if len(s.Listen) < 2 {
			t.Errorf("%s: %d things to listen for", s.Name, len(s.Listen))
		}
		for _, a := range s.Listen {
			if !strings.HasSuffix(a.What, ".") {
				t.Errorf("%s: %q is no sentence", s.Name, a.What)
			}
		}
		for _, p := range s.Parts {
			if len(p.Cells) != len(s.Bars) {
				t.Errorf("%s: %s has %d cells for %d bars", s.Name, p.Name, len(p.Cells), len(s.Bars))
			}
		}
	}
}

// Nothing of the page comes from elsewhere, and nothing that a teacher writes runs in it.
func TestPageIsAlone(t *testing.T) {
	_, text := lesson(t)
	if n := strings.Count(text, "<script>"); n != 1 {
		t.Errorf("%d scripts, want 1", n)
	}
	if found := regexp.MustCompile(`(src|href)="?[^">]|url\(|javascript:`).FindString(text); found != "" {
		t.Errorf("the page has %q", found)
	}
	if !strings.Contains(text, "<strong>strings</strong>") {
		t.Error("the words are not read as Markdown")
	}
}

// Nobody's words are lost, and what cannot be had is said in a sentence.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*Asked)
		want   string
	}{
		{func(a *Asked) { a.Bars = []string{"900-901"} }, `"900-901" are no bars of the piece`},
		{func(a *Asked) { a.Words = ReadWords([]byte("## bar 3\nHere.")) }, "the words at bar 3 belong to no bars of the lesson, which has bars 9–11 and bars 24–25; add --bars 3"},
		{func(a *Asked) { a.Words = ReadWords([]byte("## bars 3-x\nHere.")) }, `the words at bar 3-x: "3-x" are no bars`},
		{func(a *Asked) { a.Habits = []string{"singing"} }, `there is no habit "singing"`},
	} {
		a := asked(t)
		c.change(a)
		if _, err := Make(t.Context(), a); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("the error is %v, want %s", err, c.want)
		}
	}
}

// An excerpt begins as the music stands there: what was set, and what sounds on.
func TestExcerpt(t *testing.T) {
	at := func(ms int) time.Duration { return time.Duration(ms) * time.Millisecond }
	short := func(ms int, a, b, c byte) expr.Event { return expr.Short(at(ms), 0, a, b, c) }
	all := []expr.Event{
		short(0, 0xB0, 11, 90), short(0, 0xB0, 64, 127), short(0, 0x90, 60, 80), short(10, 0x90, 62, 80), short(500, 0x80, 60, 0),
		short(700, 0xB0, 11, 70), short(1200, 0x90, 64, 80), short(1500, 0x80, 62, 0), short(2500, 0x80, 64, 0),
	}
	want := []expr.Event{
		short(0, 0xB0, 11, 90), short(0, 0xB0, 64, 127), short(0, 0xB0, 11, 70), short(0, 0x90, 62, 80),
		short(200, 0x90, 64, 80), short(500, 0x80, 62, 0), short(1000, 0x80, 64, 64), short(1000, 0xB0, 64, 0),
	}
	got := excerpt(all, at(1000), at(2000))
	if len(got) != len(want) {
		t.Fatalf("%d events, want %d: %v", len(got), len(want), got)
	}
	for i := range got {
		if got[i].At != want[i].At || !bytes.Equal(got[i].Msg[:3], want[i].Msg[:3]) {
			t.Errorf("event %d is %v, want %v", i, got[i], want[i])
		}
	}
}
