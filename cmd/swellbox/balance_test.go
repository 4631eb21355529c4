package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/proxy/formats/smf"
	"swellbox/proxy/study/demo"
)

// boats writes the built-in score as boats.mid.
func (d *desktop) boats(f *smf.File) {
	d.t.Helper()
	if err := smf.WriteFile(filepath.Join(d.dir, "boats.mid"), f); err != nil {
		d.t.Fatal(err)
	}
}

func TestBalanceInWords(t *testing.T) {
	d := atDesktop(t)
	d.boats(demo.Score())
	status, out, errs := d.run("balance", "boats.mid", "-o", "report")
	if status != 0 || errs != "" {
		t.Fatalf("status %d, %q", status, errs)
	}
	contains(t, strings.Join(strings.Fields(out), " "), demo.Title, "large hall, row 10", "In the hall: ", "In a studio, recorded apart", "bars 24–26, Flute 1, low register",
		"not a rehearsal", "Written to report: balance.html")
	for _, name := range []string{"balance.html", "balance.svg", "balance.csv", "balance.json"} {
		if d.read("report/"+name) == "" {
			t.Errorf("%s is empty", name)
		}
	}
	if far := d.must("balance", "boats.mid", "--room", "large", "--listener", "row  25"); !strings.Contains(strings.Join(strings.Fields(far), " "), "large hall, row 25, and in a studio.") {
		t.Errorf("another seat is not told:\n%s", far)
	}
	if near := d.must("balance", "boats.mid", "--listener", "podium", "--place", "hall"); !strings.Contains(strings.Join(strings.Fields(near), " "), "heard in the large hall, podium. In") || strings.Contains(near, "In a studio") {
		t.Errorf("from the podium, hall only:\n%s", near)
	}
}

func TestBalanceInJSON(t *testing.T) {
	d := atDesktop(t)
	d.boats(demo.Score())
	type report struct {
		Place    string            `json:"place"`
		Parts    []json.RawMessage `json:"parts"`
		Warnings []json.RawMessage `json:"warnings"`
	}
	places := func(reports ...report) (all string) {
		for _, r := range reports {
			if len(r.Parts) != 21 || len(r.Warnings) == 0 {
				t.Errorf("%s: %d parts, %d warnings", r.Place, len(r.Parts), len(r.Warnings))
			}
			all += r.Place + " "
		}
		return all
	}
	var both struct{ Places []report }
	out := d.must("balance", "boats.mid", "--json", "-o", "report")
	if err := json.Unmarshal([]byte(out), &both); err != nil || places(both.Places...) != "hall studio " {
		t.Errorf("%v, %+v", err, both)
	}
	if d.read("report/balance.json") != out {
		t.Error("the file and what is printed differ")
	}
	for _, place := range []string{"hall", "studio"} {
		var one struct{ Places []report }
		if err := json.Unmarshal([]byte(d.must("balance", "boats.mid", "--json", "--sense", place)), &one); err != nil || places(one.Places...) != place+" " {
			t.Errorf("%v, %+v", err, one)
		}
	}
}

// A long piece tells how far it is, on the error side.
func TestBalanceProgress(t *testing.T) {
	d := atDesktop(t)
	d.long(longPiece)
	status, out, errs := d.run("balance", "long.mid", "--json", "--place", "hall")
	if status != 0 || !json.Valid([]byte(out)) {
		t.Fatalf("status %d, %.200s", status, out)
	}
	contains(t, errs, `{"progress":"hearing bars"}`+"\n", `{"progress":"hearing bars: done in`)
}

func TestBalanceRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		args   string
		status int
		words  string
	}{
		"no file":           {"balance", 2, "expected one MIDI file or score, found none"},
		"no such file":      {"balance none.mid", 1, "none.mid"},
		"a broken file":     {"balance broken.mid", 1, "broken.mid: byte 25"},
		"no notes":          {"balance silent.mid", 1, "silent.mid: there are no notes in it"},
		"no such room":      {"balance raw.mid --room cellar", 2, `--room is "cellar"; it can be chamber, mid or large`},
		"no such seat":      {"balance raw.mid --listener balcony", 2, `--listener is "balcony"`},
		"no such row":       {"balance raw.mid --listener=row99", 2, "row 1 to row 60"},
		"into a file":       {"balance raw.mid -o broken.mid", 1, "broken.mid"},
		"of no seating":     {"balance raw.mid --seating none.yaml", 1, "none.yaml"},
		"no such lock file": {"balance raw.mid --locked none.lock", 1, "none.lock"},
	} {
		t.Run(name, func(t *testing.T) {
			d := atDesktop(t)
			d.duet()
			d.file("broken.mid", broken)
			if err := smf.WriteFile(filepath.Join(d.dir, "silent.mid"), demo.Symphony(0)); err != nil {
				t.Fatal(err)
			}
			status, out, errs := d.run(strings.Fields(c.args)...)
			if status != c.status || out != "" || !strings.HasPrefix(errs, "swellbox: ") || strings.Count(errs, "\n") != 1 || !strings.Contains(errs, c.words) {
				t.Errorf("status %d, printed %q, said %q; want status %d and %q", status, out, errs, c.status, c.words)
			}
		})
	}
	d := atDesktop(t)
	d.duet()
	if status, _, errs := d.run("balance", "raw.mid", "--sense", "cinema"); status != 2 || !strings.Contains(errs, `--place is "cinema"; it can be hall or studio`) {
		t.Errorf("status %d, %q", status, errs)
	}
	if help := d.must("balance", "--help"); strings.Contains(help, "(default: hall)") || !strings.Contains(help, "(default: row 10)") {
		t.Errorf("help:\n%s", help)
	}
}

// A piece without a title is called after its file.
func TestBalanceTitle(t *testing.T) {
	d := atDesktop(t)
	d.duet()
	if out := d.must("balance", "raw.mid"); !strings.HasPrefix(out, "raw.mid\n2 parts, 1 bar:") {
		t.Errorf("it begins %.80q", out)
	}
	if _, err := os.Stat(filepath.Join(d.dir, "balance.html")); err == nil {
		t.Error("a page was written without being asked for")
	}
}

// Bars with a warning can be heard before and after, of one length, without clipping; others are refused, and what is
// written besides is written.
func TestBalanceListen(t *testing.T) {
	d := atDesktop(t)
	d.boats(demo.Score())
	status, out, errs := d.run("balance", "boats.mid", "--listen", "24-26", "-o", "report")
	if status != 0 {
		t.Fatalf("status %d, %s", status, errs)
	}
	contains(t, strings.Join(strings.Fields(out), " "), "report/before.wav is bars 24–26 as written, report/after.wav the same with the mildest remedy for Flute 1: three trombones at mp and an octave up.", "only by the gain")
	heardAlike(t, d, "report/before.wav", "report/after.wav")
	if d.read("report/before.wav") == d.read("report/after.wav") {
		t.Error("the remedy is not heard")
	}
	if status, _, errs := d.run("balance", "boats.mid", "--listen", "2", "-o", "other"); status != 1 || !strings.Contains(errs, "no tune is behind in bar 2") || d.read("other/balance.html") == "" {
		t.Errorf("status %d, %s", status, errs)
	}
	if status, _, errs := d.run("balance", "boats.mid", "--listen", "2"); status != 2 || !strings.Contains(errs, "-o FOLDER") {
		t.Errorf("status %d, %s", status, errs)
	}
}
