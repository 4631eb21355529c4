package match

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Four notes and a grace note, of our own: one note left out, one added.
const small1 = `info(matchFileVersion,1.0.0).
info(piece,Little piece, the first).
info(composer,-).
info(midiClockUnits,500).
info(midiClockRate,500000).
scoreprop(keySignature,D,1:1,0,0.0000).
scoreprop(timeSignature,6/8,1:1,0,0.0000).
scoreprop(timeSignature,3/4,2:1,0,6.0000).
snote(n1,[D,n],5,1:1,0,1/4,0.0000,2.0000,[v1,staff1,staccato,accent])-note(p1,74,1000,1900,80,0,0).
snote(n2,[B,bb],3,1:1,0,3/8,0.0000,3.0000,[v5,staff2])-note(p2,57,1010,2000,50,0,0).
insertion-note(p3,60,1500,1600,20,0,0).
snote(n3,[F,#],4,1:2,0,0,2.0000,2.0000,[v1,staff1,grace])-deletion.
snote(n4,[E,b],5,2:1,0,1/2,6.0000,8.0000,[v1,staff1,fermata])-note(p4,75,4000,5000,90,0,0).
soft(10,127).
sustain(3000,0).
sustain(1000,90).
`

const small5 = `info(matchFileVersion,5.0).
info(midiClockUnits,480).
info(midiClockRate,500000).
info(timeSignature,[3/4]).
snote(n1-1,[B,b],3,0:3,0,1/4,-1.0,0.0,[])-note(n0,[A,#],3,960,1440,1500,97).
meta(timeSignature,3/4,0,-1.0).
meta(timeSignature,2/2,2,3.0).
`

func read(t *testing.T, text string) *Alignment {
	t.Helper()
	a, err := Read([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestReadVersion1(t *testing.T) {
	a := read(t, small1)
	if a.Version != "1.0.0" || a.Piece != "Little piece, the first" || a.Composer != "" || len(a.Warnings) != 0 {
		t.Errorf("heading %q, %q, %q, warnings %q", a.Version, a.Piece, a.Composer, a.Warnings)
	}
	if got := fmt.Sprint(a.Score); got != "[{n1 1 0 2 74 1 1 false [staccato accent] 0} {n2 1 0 3 57 2 5 false [] 1} {n3 1 2 2 66 1 1 true [] -1} {n4 2 6 8 75 1 1 false [fermata] 3}]" {
		t.Error("score", got)
	}
	if got := fmt.Sprint(a.Played); got != "[{p1 74 1s 1.9s 80 0} {p2 57 1.01s 2s 50 1} {p3 60 1.5s 1.6s 20 -1} {p4 75 4s 5s 90 3}]" {
		t.Error("played", got)
	}
	if got := fmt.Sprint(a.Metres, a.Sustain, a.Soft); got != "[{0 6 8} {6 3 4}] [{1s 90} {3s 0}] [{10ms 127}]" {
		t.Error("metres and pedals", got)
	}
	if !a.Score[0].Has("accent") || a.Score[1].Has("accent") {
		t.Error("the accent is on the first note")
	}
	for beat, quarters := range map[float64]float64{-1: -0.5, 0: 0, 6: 3, 8: 5} {
		if got := a.Quarters(beat); got != quarters {
			t.Errorf("beat %v lies %v quarter notes from the start, want %v", beat, got, quarters)
		}
	}
}

func TestReadVersion5(t *testing.T) {
	a := read(t, small5)
	if got := fmt.Sprint(a.Score, a.Played, a.Metres, a.Warnings); got != "[{n1-1 0 -1 0 58 0 0 false [] 0}] [{n0 58 1s 1.5s 97 0}] [{-1 3 4} {3 2 2}] []" {
		t.Error(got)
	}
	if got := a.Quarters(5); got != 7 {
		t.Errorf("beat 5 lies at %v, want 7 quarter notes", got)
	}
}

// A heading's time signature has no place, and serves where no other comes.
func TestMetreOfTheHeading(t *testing.T) {
	a := read(t, strings.ReplaceAll(small5, "meta(", "section("))
	if len(a.Metres) != 1 || a.Metres[0] != (Metre{At: -1, Beats: 3, Unit: 4}) {
		t.Errorf("metres %v", a.Metres)
	}
	if got := a.Quarters(5); got != 5 {
		t.Errorf("beat 5 lies at %v", got)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"nothing", "", "the file is empty: an alignment begins with info(matchFileVersion,…)"},
		{"another file", "<score/>\n", "line 1: an alignment begins with info(matchFileVersion,…): this is no match file"},
		{"another version", "\ninfo(matchFileVersion,3.0).\n", `line 2: version "3.0" of the match format is not read: convert the file to 1.0.0`},
		{"no clock", "info(matchFileVersion,5.0).\ninfo(midiClockUnits,0).\n", `line 2: "0" is no number of ticks a quarter note: correct the line`},
	} {
		_, err := Read([]byte(c.text))
		var e *SyntaxError
		if !errors.As(err, &e) || err.Error() != c.want {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, err := Read(make([]byte, MaxSize+1)); err == nil || !strings.Contains(err.Error(), "split it") {
		t.Errorf("too large: %v", err)
	}
}

// What is damaged costs its line, with a warning that says which.
func TestReadsOver(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"snote(n9,[D,n],5,1:1", "nine values"},
		{"snote(n9,[H,n],5,1:1,0,1/4,0.0,2.0,[])-deletion.", `"n9" of the score has no pitch`},
		{"snote(n9,[D,n],5,1:1,0,1/4,NaN,2.0,[])-deletion.", `"n9" of the score has no pitch or place`},
		{"snote(n1,[D,n],5,1:1,0,1/4,0.0,2.0,[])-deletion.", "second time"},
		{"insertion-note(p9,128,1,2,3,0,0).", `"p9" of the performance`},
		{"insertion-note(p9,12,5,2,3,0,0).", `"p9" of the performance`},
		{"insertion-note(p9).", "does not have its 5 values"},
		{"sustain(x,3).", "is left out"},
		{"scoreprop(timeSignature,0/4,1:1,0,0.0).", "no time signature"},
		{"wonder(3).", `"wonder"`},
	} {
		a := read(t, small1+c.line+"\n"+c.line+"\n")
		if len(a.Score) != 4 || len(a.Played) != 4 || len(a.Warnings) == 0 ||
			!strings.HasPrefix(a.Warnings[0], "line 17: ") || !strings.Contains(a.Warnings[0], c.want) {
			t.Errorf("%s: %d and %d notes, warnings %q", c.line, len(a.Score), len(a.Played), a.Warnings)
		}
	}
	a := read(t, small1+strings.Repeat("sustain(x,3).\n", 3*maxWarnings))
	if len(a.Warnings) != maxWarnings+1 {
		t.Errorf("%d warnings", len(a.Warnings))
	}
}

// A note of the score whose played note makes no sense is one that was left out.
func TestPairWithoutANote(t *testing.T) {
	a := read(t, strings.Replace(small1, "1000,1900,80", "1000,1900,0", 1))
	if a.Score[0].Played != -1 || len(a.Played) != 3 || a.Score[1].Played != 0 || len(a.Warnings) != 1 {
		t.Errorf("%v %v %q", a.Score, a.Played, a.Warnings)
	}
}

func TestManyNotesAreTheLimit(t *testing.T) {
	var b strings.Builder
	b.WriteString("info(matchFileVersion,1.0.0).\n")
	for range maxNotes {
		b.WriteString("insertion-note(p,60,1,2,3,0,0).\n")
	}
	if a := read(t, b.String()); len(a.Played) != maxNotes {
		t.Errorf("%d notes", len(a.Played))
	}
	b.WriteString("insertion-note(p,60,1,2,3,0,0).\n")
	if _, err := Read([]byte(b.String())); err == nil || !strings.Contains(err.Error(), "split the file") {
		t.Error(err)
	}
}

func TestReadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "take.match")
	if _, err := ReadFile(path); !errors.Is(err, os.ErrNotExist) {
		t.Error(err)
	}
	if err := os.WriteFile(path, []byte(small1), 0o600); err != nil {
		t.Fatal(err)
	}
	if a, err := ReadFile(path); err != nil || len(a.Score) != 4 {
		t.Error(a, err)
	}
	if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadFile(path); err == nil || !strings.HasPrefix(err.Error(), path+": line 1: ") {
		t.Error(err)
	}
}

// FuzzRead: reading never panics, gives an alignment or an error of one sentence, and the two
// sides of an alignment point at each other, within the limits.
func FuzzRead(f *testing.F) {
	for _, text := range []string{small1, small5} {
		f.Add([]byte(text))
		f.Add([]byte(text[:len(text)*2/3]))
		f.Add([]byte(strings.ReplaceAll(text, "(", "[")))
		f.Add([]byte(strings.ReplaceAll(text, "1", "9999999999999999999")))
		f.Add([]byte(strings.ReplaceAll(text, "0", "-1e9")))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		a, err := Read(b)
		if (a == nil) == (err == nil) {
			t.Fatalf("alignment %v and error %v", a, err)
		}
		if err != nil {
			var e *SyntaxError
			if !errors.As(err, &e) || e.Reason == "" || strings.Contains(e.Reason, "\n") {
				t.Fatalf("error %q", err)
			}
			return
		}
		for i, n := range a.Score {
			if n.Key > 127 || n.End < n.Onset || n.Played >= len(a.Played) || n.Played >= 0 && a.Played[n.Played].Score != i {
				t.Fatalf("note %d of the score: %+v", i, n)
			}
		}
		for i, p := range a.Played {
			if p.Key > 127 || p.Velocity < 1 || p.Velocity > 127 || p.On < 0 || p.Off < p.On || p.Off > maxTime || p.Score >= 0 && a.Score[p.Score].Played != i {
				t.Fatalf("note %d of the performance: %+v", i, p)
			}
		}
		for _, p := range append(a.Sustain, a.Soft...) {
			if p.Value > 127 || p.At < 0 {
				t.Fatalf("pedal %+v", p)
			}
		}
		_ = a.Quarters(17)
	})
}

func BenchmarkRead(b *testing.B) {
	text := []byte(small1)
	for i := range 10_000 {
		text = fmt.Appendf(text, "snote(m%d,[D,n],5,1:1,0,1/4,%d.0,%d.5,[v1,staff1])-note(q%d,74,%d,%d,80,0,0).\n", i, i, i, i, i*100, i*100+90)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := Read(text); err != nil {
			b.Fatal(err)
		}
	}
}
