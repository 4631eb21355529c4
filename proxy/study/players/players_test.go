package players

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/profiles"
	"swellbox/proxy/formats/match"
	"swellbox/proxy/perform"
)

// Anscombe's quartet, "Graphs in Statistical Analysis", The American Statistician 27, 1973: in
// each of the four r is 0.816.
func TestCorrelationByAnscombe(t *testing.T) {
	x := []float64{10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5}
	for i, y := range [][]float64{
		{8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68},
		{9.14, 8.14, 8.74, 8.77, 9.26, 8.10, 6.13, 3.10, 9.13, 7.26, 4.74},
		{7.46, 6.77, 12.74, 7.11, 7.81, 8.84, 6.08, 5.39, 8.15, 6.42, 5.73},
	} {
		if r := Correlation(x, y); math.Abs(r-0.816) > 0.001 {
			t.Errorf("set %d: r = %.4f, want 0.816", i+1, r)
		}
	}
	if r := Correlation(x, make([]float64, len(x))); !math.IsNaN(r) {
		t.Errorf("r with what never varies is %v, want NaN", r)
	}
}

// Cohen's kappa of a worked example known from textbooks (from memory): of 50 cases 20 yes and
// 15 no by both, 5 and 10 by one: 0.4.
func TestKappa(t *testing.T) {
	var p, q []bool
	add := func(n int, a, b bool) {
		for range n {
			p, q = append(p, a), append(q, b)
		}
	}
	add(20, true, true)
	add(15, false, false)
	add(5, true, false)
	add(10, false, true)
	if k := Kappa(p, q); math.Abs(k-0.4) > 1e-9 {
		t.Errorf("kappa = %v, want 0.4", k)
	}
}

// alignment writes a take of 100 notes of our own: a scale in eighths over a bass, in 4/4. louder is
// added to the velocities of the upper notes.
func alignment(louder int) string {
	var b strings.Builder
	b.WriteString("info(matchFileVersion,1.0.0).\ninfo(midiClockUnits,480).\ninfo(midiClockRate,500000).\n")
	b.WriteString("scoreprop(timeSignature,4/4,1:1,0,0.0000).\n")
	steps := []string{"C", "D", "E", "F", "G", "A", "B"}
	n := 0
	write := func(step string, octave, key, velocity int, beat, length float64) {
		at := int(beat * 480 * (1 + 0.1*math.Sin(beat/4)))
		fmt.Fprintf(&b, "snote(n%d-1,[%s,n],%d,%d:1,0,1/8,%.4f,%.4f,[v1,staff1])-note(p%d,%d,%d,%d,%d,0,0).\n",
			n, step, octave, 1+int(beat)/4, beat, beat+length, n, key, at, at+int(length*400), velocity)
		n++
	}
	keys := map[string]int{"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
	for i := range 80 {
		s := steps[(i*3)%7]
		if i%4 == 0 {
			write("C", 3, 48, 50+i%5, float64(i)/2, 2)
		}
		write(s, 5, 72+keys[s], 60+louder+(i*7)%20, float64(i)/2, 0.5)
	}
	b.WriteString("sustain(0,127).\nsustain(4800,0).\n")
	return b.String()
}

func folder(t *testing.T, takes ...string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "ours", "scale")
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for i, take := range takes {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("player%02d.match", i+1)), []byte(take), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestPieceAndItsPlayers(t *testing.T) {
	dir := folder(t, alignment(10), alignment(20))
	p, err := ReadPiece(dir, 99)
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Notes) != 100 || len(p.Takes) != 2 {
		t.Fatalf("%d notes, %d takes; want 100 and 2", len(p.Notes), len(p.Takes))
	}
	c := p.Compare(&p.Takes[0])
	for k, kind := range Kinds {
		want := (1 + c.Theirs[k]) / 2 // one of the two players is itself
		if math.Abs(c.Ours[k]-want) > 1e-9 || c.Theirs[k] < 0.8 {
			t.Errorf("%s: %v with the players, %v of them with each other", kind, c.Ours[k], c.Theirs[k])
		}
	}
	// By hand: the upper notes over the bass, 60 + 10 + (7i mod 20) against 50 + (i mod 5), at i = 0, 4 … 76.
	sum := 0.0
	for i := 0; i < 80; i += 4 {
		sum += float64(70 + (i*7)%20 - 50 - i%5)
	}
	if got := p.Features(&p.Takes[0]).Sizes.TopOver; math.Abs(got-sum/20) > 1e-9 {
		t.Errorf("top over the rest is %v, want %v", got, sum/20)
	}
	// The pedal goes up at beat 10, of 39.5 beats; the tempo wanders by a tenth.
	if got := p.Features(&p.Takes[0]).Sizes.PedalDown; got < 0.2 || got > 0.3 {
		t.Errorf("the pedal is down in %.2f of the time, want about a quarter", got)
	}
}

func TestStudy(t *testing.T) {
	library, err := profiles.NewLibrary()
	if err != nil {
		t.Fatal(err)
	}
	s := &Study{Cast: &perform.Cast{Library: library}, Conditions: Grades(1)}
	if err := s.Add(context.Background(), folder(t, alignment(10), alignment(20)), 99); err != nil {
		t.Fatal(err)
	}
	if len(s.Failed) > 0 {
		t.Fatal(s.Failed)
	}
	for _, c := range s.Conditions {
		rows := s.Rows[c.Name]
		if len(rows) != 1 || math.IsNaN(rows[0].Ours[0]) || math.IsNaN(rows[0].Ours[3]) {
			t.Errorf("%s: %+v", c.Name, rows)
		}
	}
	var b strings.Builder
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"| none |", "| lookahead |", "| score |", "level SD, velocities"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the tables lack %q:\n%s", want, b.String())
		}
	}
}

func TestDrawIsXML(t *testing.T) {
	p, err := ReadPiece(folder(t, alignment(10)), 99)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := p.Draw(&b, &p.Takes[0]); err != nil {
		t.Fatal(err)
	}
	d, paths := xml.NewDecoder(strings.NewReader(b.String())), 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "path" {
			paths++
		}
	}
	if paths < 4 {
		t.Errorf("%d curves and bar lines, want two curves of ours and of a player", paths)
	}
}

func TestShortPiece(t *testing.T) {
	short := strings.Join(strings.SplitAfter(alignment(0), "\n")[:40], "")
	if _, err := ReadPiece(folder(t, short), 99); !errors.Is(err, ErrShort) {
		t.Errorf("the error is %v, want ErrShort", err)
	}
}

// How chords are spread, by hand: leads of 10, 20 and 30 ms.
func TestSizesOfChords(t *testing.T) {
	p, take := &Piece{Metres: []match.Metre{{Beats: 4, Unit: 4}}}, &Take{Notes: map[string]Sound{}}
	for i := range 3 {
		for k, key := range []uint8{60, 64, 72} {
			n := Note{ID: fmt.Sprint(i, k), Onset: float64(i), End: float64(i) + 1, Key: key}
			on := float64(i) + 0.1 - []float64{0, 0.004, 0.002 + 0.01*float64(i+1)}[k]
			p.Notes = append(p.Notes, n)
			take.Notes[n.ID] = Sound{on, on + 0.5, 64}
		}
	}
	s := p.Features(take).Sizes
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"lead", s.Lead, 20}, {"its median", s.LeadMedian, 20}, {"its deviation by quartiles", s.LeadQuartile, 20 / quartilesApart},
		{"first to last", s.ChordSpread, 22},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s is %.3f ms, want %.3f", c.what, c.got, c.want)
		}
	}
}
