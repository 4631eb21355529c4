package main

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swellbox/proxy"
	"swellbox/proxy/smf"
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
	var rules map[string]int
	read := func(from []byte, to any) {
		t.Helper()
		dec := json.NewDecoder(bytes.NewReader(from))
		if err := dec.Decode(to); err != nil || dec.More() {
			t.Fatalf("%s: %v", from, err)
		}
	}
	read([]byte(out), &all)
	if got, want := slices.Sorted(maps.Keys(all)), []string{"notes_in", "notes_out", "parts", "warnings"}; !slices.Equal(got, want) {
		t.Errorf("keys %v, want %v", got, want)
	}
	if string(all["notes_in"]) != "4" || string(all["notes_out"]) != "4" || string(all["warnings"]) != "[]" {
		t.Errorf("want 4 notes in and out and no warnings, got %s", out)
	}
	read(all["parts"], &parts)
	if len(parts) != 2 {
		t.Fatalf("%d parts, want 2", len(parts))
	}
	want := []string{"channel", "name", "notes", "origin", "players", "port", "profile", "rules", "why"}
	if got := slices.Sorted(maps.Keys(parts[0])); !slices.Equal(got, want) {
		t.Errorf("the keys of a part are %v, want %v", got, want)
	}
	if string(parts[0]["name"]) != `"Violin I"` || string(parts[0]["profile"]) != `"violins-1"` || string(parts[1]["profile"]) != `"horn"` {
		t.Errorf("parts %s", all["parts"])
	}
	read(parts[0]["rules"], &rules)
	if rules["expression"] != 2 || rules["vibrato"] != 2 || rules["sustain"] != 2 {
		t.Errorf("rules of the violins %v, want expression, sustain and vibrato on two notes", rules)
	}
}

func TestRenderInWords(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	out := d.must("render", "raw.mid", "-o", "shaped.mid")
	for _, want := range []string{"Violin I ", "violins-1 ", "  2  all: ", " expression, ", "shaped.mid: 4 notes in, 4 notes out\n"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q does not say %q", out, want)
		}
	}
	if strings.Contains(out, "found by") {
		t.Errorf("%q says how parts were found whose names say it", out)
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

// A part has its rules in the order of what they did, within 100 columns, and who was not
// found by its own name has it said how.
func TestPrintReport(t *testing.T) {
	var out strings.Builder
	p := &program{out: &out}
	p.printReport(&proxy.Report{Parts: []proxy.PartReport{
		{Name: "Flöte", Profile: "flute", Notes: 57, Why: `the track name "Flöte"`, Habits: map[string]uint64{
			"expression": 57, "weighting": 57, "sustain": 57, "vibrato": 56, "articulation": 31, "long-note": 31, "accent": 55,
			"high-loud": 53, "hairpin": 11, "breath": 2, "contrast": 21, "phrase": 40, "pedal": 0,
		}},
		{Name: "Whistle", Profile: "piccolo", Origin: "mine", Notes: 1200, Why: "the seating", Habits: map[string]uint64{"phrase": 7}},
		{Name: "Tape", Profile: "plain", Notes: 1, Why: "program 126 of General MIDI", Habits: map[string]uint64{"phrase": 0}},
		{Name: "Organ", Profile: "organ", Notes: 2, Why: `the track name "Organ"`, Habits: map[string]uint64{"phrase": 2}},
	}})
	want := `part     profile          notes  shaped by, in notes
Flöte    flute               57  all: expression, sustain, weighting; vibrato 56, accent 55,
                                 high-loud 53, phrase 40, articulation 31, long-note 31,
                                 contrast 21, hairpin 11, breath 2
Whistle  piccolo (mine)    1200  phrase 7
Tape     plain                1  nothing
Organ    organ                2  all: phrase
Whistle: piccolo was found by the seating
Tape: plain was found by program 126 of General MIDI
`
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
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
	if !strings.Contains(out, "1 notes in, 1 notes out") {
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
	if !strings.Contains(out, "Treble viol") || !strings.Contains(out, "the seating") || !strings.Contains(out, "horn") {
		t.Errorf("printed %s", out)
	}
	d.must("render", "raw.mid", "-o", "b.mid", "--seating", "seating.yaml", "--profiles", "own")
	d.must("render", "raw.mid", "-o", "c.mid")
	if d.read("a.mid") != d.read("b.mid") || d.read("a.mid") == d.read("c.mid") {
		t.Error("want the same bytes with the same seating, and others with none")
	}
}
