package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"swellbox/cmd/swellbox/program"
	"swellbox/cmd/swellbox/settings"
	"swellbox/cmd/swellbox/tell"
	"swellbox/proxy/formats/smf"
	"swellbox/proxy/offline"
	"swellbox/proxy/perform"
	"swellbox/proxy/study/demo"
)

func TestRenderInJSON(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	status, out, errs := d.run("render", "raw.mid", "-o", "shaped.mid", "--json")
	if status != 0 || errs != "" {
		t.Fatalf("status %d, %q", status, errs)
	}
	var all map[string]json.RawMessage
	var parts []map[string]json.RawMessage
	var habits map[string]int
	read := func(from []byte, to any) {
		t.Helper()
		dec := json.NewDecoder(bytes.NewReader(from))
		if err := dec.Decode(to); err != nil || dec.More() {
			t.Fatalf("%s: %v", from, err)
		}
	}
	read([]byte(out), &all)
	if got, want := slices.Sorted(maps.Keys(all)), []string{"notes_in", "notes_out", "parts", "timing", "warnings"}; !slices.Equal(got, want) {
		t.Errorf("keys %v, want %v", got, want)
	}
	if string(all["notes_in"]) != "4" || string(all["notes_out"]) != "4" || string(all["warnings"]) != "[]" {
		t.Errorf("want 4 notes in and out and no warnings, got %s", out)
	}
	read(all["parts"], &parts)
	if len(parts) != 2 {
		t.Fatalf("%d parts, want 2", len(parts))
	}
	want := []string{"channel", "controllers", "habits", "name", "notes", "origin", "passed", "players", "players_by", "port", "profile", "why"}
	if got := slices.Sorted(maps.Keys(parts[0])); !slices.Equal(got, want) {
		t.Errorf("the keys of a part are %v, want %v", got, want)
	}
	if string(parts[0]["name"]) != `"Violin I"` || string(parts[0]["profile"]) != `"violins-1"` || string(parts[1]["profile"]) != `"horn"` {
		t.Errorf("parts %s", all["parts"])
	}
	read(parts[0]["habits"], &habits)
	if habits["marks"] != 2 || habits["vibrato"] != 2 || habits["bloom"] != 2 {
		t.Errorf("habits of the violins %v, want marks, bloom and vibrato on two notes", habits)
	}
}

func TestRenderInWords(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	out := d.must("render", "raw.mid", "-o", "shaped.mid")
	for _, want := range []string{"shaped.mid: 4 notes of 2 parts, shaped.\n", "Seated: Violin I as violins-1", "Horn in F as horn", "Listen for:"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q does not say %q", out, want)
		}
	}
	if strings.Contains(out, "Doubtful") {
		t.Errorf("%q doubts parts whose names say what they are", out)
	}
	brief := strings.Replace(out, moreTold, "", 1)
	for _, want := range []string{"notes by habit\n", "\nViolin I   violins-1      2  all: ", " marks, ", "found by"} {
		if details := d.must("render", "raw.mid", "-o", "shaped.mid", "--details"); !strings.Contains(details, want) || brief == out || !strings.HasSuffix(details, brief) {
			t.Errorf("with --details it does not say %q, or ends otherwise:\n%s", want, details)
		}
	}
	shaped, err := smf.ReadFile(filepath.Join(d.dir, "shaped.mid"))
	if err != nil {
		t.Fatal(err)
	}
	if len(shaped.Tracks) != 3 || !slices.ContainsFunc(shaped.Tracks[1].Events, func(e smf.Event) bool {
		return e.Data[0] == 0xB0 && e.Data[1] == 11
	}) {
		t.Error("the violins have no expression")
	}
}

// many is a report of so many parts, every third of which was guessed.
func many(parts int) *offline.Report {
	r := &offline.Report{NotesIn: 57 * parts, NotesOut: 57 * parts}
	for i := range parts {
		p := perform.PartReport{Name: fmt.Sprintf("Second clarinets %d", i), Profile: "bass-clarinet", Players: 1 + i%2, Notes: 57, Why: "the track name", Habits: map[string]uint64{}}
		p.Why = fmt.Sprintf("the track name %q", p.Name)
		if i%3 == 0 {
			p.Why = "program 72 of General MIDI"
		}
		for j, about := range demo.ToldByEar() {
			p.Habits[about.Flag()] = uint64(1 + i*j%50)
		}
		r.Parts = append(r.Parts, p)
	}
	return r
}

// However many parts there are, the summary stays on one screen of 24 lines, the line
// where one types included, and says whom it leaves out.
func TestSummaryFitsTheScreen(t *testing.T) {
	for _, parts := range []int{1, 5, 21, 60, 300} {
		for _, width := range []int{60, 80, 100} {
			t.Setenv("COLUMNS", fmt.Sprint(width))
			var out strings.Builder
			p := &program.Program{Output: tell.Output{Out: &out}}
			printSummary(p, "raw.mid", "shaped.mid", many(parts), false)
			text := out.String()
			if lines := strings.Count(text, "\n"); lines > 23 {
				t.Errorf("%d parts at %d columns take %d lines:\n%s", parts, width, lines, text)
			}
			_, listen, _ := strings.Cut(text, "Listen for:\n")
			listen, _, _ = strings.Cut(listen, "\n\n")
			if things := strings.Count("\n"+listen, "\n  ") - strings.Count("\n"+listen, "\n   "); things < 3 {
				t.Errorf("%d parts at %d columns leave %d things to listen for:\n%s", parts, width, things, text)
			}
			for line := range strings.SplitSeq(text, "\n") {
				if n := utf8.RuneCountInString(line); n > width || strings.TrimRight(line, " ") != line {
					t.Errorf("%d columns: %q", n, line)
				}
			}
			if parts > 60 && !strings.Contains(text, " more") {
				t.Errorf("nobody of %d is left out:\n%s", parts, text)
			}
			contains(t, strings.Join(strings.Fields(text), " "), "Seated: Second clarinets 0 as bass-clarinet", "Doubtful: ", "Listen for:", "--details")
		}
	}
}

// There is something to listen for from every habit that is named, and each is a habit.
func TestListenTo(t *testing.T) {
	for _, l := range demo.ToldByEar() {
		if !slices.Contains(settings.HabitNames(), l.Flag()) || l.Heard == "" {
			t.Errorf("the summary listens for %q, which is no habit", l.Flag())
		}
	}
}

// What was read over in a damaged file is said on the error side, or in the JSON.
func TestRenderWarns(t *testing.T) {
	d := atDesktop(t)
	d.file("cut.mid", "MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60"+"MTrk\x00\x00\x00\x08"+"\x00\x90\x3C\x50")
	status, out, errs := d.run("render", "cut.mid", "-o", "x.mid")
	if status != 0 || strings.Count(errs, "swellbox: warning: ") != 2 || !strings.Contains(errs, "byte 26") || !strings.Contains(errs, "no end") {
		t.Errorf("status %d, %q; want warnings of the cut and of the hanging note", status, errs)
	}
	if !strings.Contains(out, "1 note of 1 part, shaped.") {
		t.Errorf("printed %q", out)
	}
	status, out, errs = d.run("render", "cut.mid", "-o", "x.mid", "--json")
	var report struct{ Warnings []string }
	if err := json.Unmarshal([]byte(out), &report); err != nil || status != 0 || errs != "" || len(report.Warnings) != 2 {
		t.Errorf("status %d, %v, %q, %s", status, err, errs, out)
	}
}

// A render that fails leaves what was at its output, and nothing beside it.
func TestRenderLeavesTheOutputAlone(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file("broken.mid", broken)
	d.file("out/x.mid", "what was there")
	for _, args := range []string{
		"render broken.mid -o out/x.mid",
		"render none.mid -o out/x.mid",
		"render raw.mid -o out/x.mid --seating none.yaml",
	} {
		if status, _, _ := d.run(strings.Fields(args)...); status != 1 {
			t.Errorf("%s: status %d", args, status)
		}
	}
	if os.Getuid() != 0 { // root may write anywhere
		folder := filepath.Join(d.dir, "out")
		if err := os.Chmod(folder, 0o555); err != nil {
			t.Fatal(err)
		}
		status, _, errs := d.run("render", "raw.mid", "-o", "out/x.mid")
		if status != 1 || !strings.Contains(errs, "out/x.mid") || !strings.Contains(errs, "folder that you may write to") {
			t.Errorf("an unwritable folder: status %d, %s", status, errs)
		}
		if err := os.Chmod(folder, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if got := d.read("out/x.mid"); got != "what was there" {
		t.Errorf("the output holds %q", got)
	}
	entries, err := os.ReadDir(filepath.Join(d.dir, "out"))
	if err != nil || len(entries) != 1 {
		t.Errorf("the folder holds %v (%v)", entries, err)
	}
	d.must("render", "raw.mid", "-o", "out/x.mid")
	if !strings.HasPrefix(d.read("out/x.mid"), "MThd") {
		t.Error("a render that goes well does not replace the output")
	}
}

// The same score renders to the same bytes, and a seating decides over the guess.
func TestRenderWithASeating(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	d.file("own/viol.yaml", "swellbox: 1\nname: viol\nextends: viola\n")
	d.file("seating.yaml", "swellbox: 1\nseats:\n  - {channel: 1, profile: viol, part: Treble viol}\n")
	out := d.must("render", "raw.mid", "-o", "a.mid", "--seating", "seating.yaml", "--profiles", "own")
	if !strings.Contains(out, "Treble viol as viol (own, own)") || !strings.Contains(out, "Horn in F as horn") {
		t.Errorf("printed %s", out)
	}
	d.must("render", "raw.mid", "-o", "b.mid", "--seating", "seating.yaml", "--profiles", "own")
	d.must("render", "raw.mid", "-o", "c.mid", "--seating", "none") // one beside the piece would be found
	if d.read("a.mid") != d.read("b.mid") || d.read("a.mid") == d.read("c.mid") {
		t.Error("want the same bytes with the same seating, and others with none")
	}
}

// By default the tempo breathes in the tempo map; the three ways are told apart.
func TestRenderTellsOfTime(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	for timing, want := range map[string]string{
		"":       "Time: the tempo breathes in the tempo map; notes keep their bars, within 60 ms.",
		"tempos": "Time: the tempo breathes in the tempo map; notes keep their bars, within 60 ms.",
		"notes":  "Time: the tempo breathes by moving the notes; players stay with it, within 60 ms.",
		"steady": "Time: every note stands where it is written.",
	} {
		args := []string{"render", "raw.mid", "-o", "x.mid"}
		if timing != "" {
			args = append(args, "--timing", timing)
		}
		if out := d.must(args...); !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("--timing %q prints\n%s", timing, out)
		}
	}
}
