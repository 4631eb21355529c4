package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swellbox/cmd/swellbox/profile"
)

const own = "user/swellbox/profiles/"

// fails runs a command line that is to fail and returns what it complains of.
func (d *desktop) fails(args ...string) string {
	d.t.Helper()
	status, out, errs := d.run(args...)
	if status == 0 || out != "" {
		d.t.Fatalf("%q: status %d, printed %q", args, status, out)
	}
	return errs
}

func contains(t *testing.T, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("%q does not say %q", text, w)
		}
	}
}

func TestSetOfABuiltIn(t *testing.T) {
	d := atDesktop(t)
	out := d.must("profile", "set", "violins", "vibrato.depth_low_cents", "50")
	contains(t, out, "vibrato depth at mf, low register 40 → 50 cents, +25 %\n", "saved ", own+"violins.yaml")
	if got, want := d.read(own+"violins.yaml"), "# violins as I want it. What is not said here is as it was.\nswellbox: 1\nname: violins\nextends: violins\nvibrato:\n  depth_low_cents: 50\n"; got != want {
		t.Errorf("wrote\n%s\nwant\n%s", got, want)
	}
	contains(t, d.must("profile", "set", "violins", "orchestra_weight.extra_db", "-1.5", "--author", "Ada"), "weight in forte 0 → −1.5 dB")
	contains(t, d.must("profile", "set", "violins", "orchestra_weight.extra_db", "-1.5"), "is like that already")
	contains(t, d.read(own+"violins.yaml"), "depth_low_cents: 50\norchestra_weight:\n  extra_db: -1.5\n")
	contains(t, d.must("profile", "diff", "violins"), "from violins, built-in to violins:\n", "  vibrato depth at mf, low register 40 → 50 cents, +25 %\n", "  weight in forte 0 → −1.5 dB, −1.5 dB\n")
	contains(t, d.must("profile", "diff", "violins@1", "violins@2"), "from violins@1 to violins@2:\n  weight in forte 0 → −1.5 dB, −1.5 dB\n")
	contains(t, d.must("profile", "diff", "violins@2", "violins"), "violins@2 and violins play alike\n")
	contains(t, d.fails("profile", "diff", "violins@3"), "the history of violins has 2 versions")
}

func TestSetKeepsWhatIsWritten(t *testing.T) {
	d := atDesktop(t)
	d.file("house/horn.yaml", "# our horns\nswellbox: 1\nname:  horn # ours\nextends: horn\n\nplayers: 4\n# end\n")
	var w profile.Written
	if err := json.Unmarshal([]byte(d.must("profile", "set", "horn", "players", "6", "--studio", "house", "--json")), &w); err != nil {
		t.Fatal(err)
	}
	if got, want := d.read("house/horn.yaml"), "# our horns\nswellbox: 1\nname:  horn # ours\nextends: horn\n\nplayers: 6\n# end\n"; got != want {
		t.Errorf("wrote\n%s\nwant\n%s", got, want)
	}
	if w.Name != "horn" || w.File != "house/horn.yaml" || len(w.Hash) != 64 || w.Unchanged || len(w.Changes) != 1 || w.Changes[0].After != "6" {
		t.Errorf("reported %+v", w)
	}
}

func TestSetRefusals(t *testing.T) {
	d := atDesktop(t)
	mine := d.file("own/viol.yaml", "swellbox: 1\nname: viol\nextends: viola\nsampler:\n  level: {controller: 11}\n")
	before := d.read("own/viol.yaml")
	for args, want := range map[string]string{
		"viol vibrato.onset_ms 90000":     "allowed is 0 to 5000 ms",
		"viol vibrato.onset 3":            `the nearest is "onset_ms"`,
		"viol sampler.level.controller 1": "\n  swellbox profile set viol sampler.vibrato_depth none\n",
		"viol extends viol":               "is based on itself",
		"vial players 3":                  `no profile is named "vial", the nearest is "viol"`,
		"viol players":                    "expected NAME PATH VALUE",
		"viol players 3 4":                "found 4 arguments",
		"viol players 3 --loud":           "--loud",
		"violins name cello":              "would become cello",
	} {
		errs := d.fails(append([]string{"profile", "set", "--profiles", "own"}, strings.Fields(args)...)...)
		if !strings.Contains(errs, want) {
			t.Errorf("%s: %q, want %q", args, errs, want)
		}
	}
	if d.read("own/viol.yaml") != before {
		t.Errorf("%s was written to", mine)
	}
	if exists(t, filepath.Join(d.dir, own)) {
		t.Error("a folder was made")
	}
}

func TestNew(t *testing.T) {
	d := atDesktop(t)
	contains(t, d.must("profile", "new", "hall-violins", "--extends", "violins"), own+"hall-violins.yaml")
	text := d.read(own + "hall-violins.yaml")
	contains(t, text, "swellbox: 1\nname: hall-violins\nextends: violins\n", "#   depth_low_cents: 40")
	contains(t, d.must("profile", "diff", "hall-violins"), "violins and hall-violins play alike")
	contains(t, d.fails("profile", "new", "hall-violins", "--extends", "violas"), "stays as it is")
	if d.read(own+"hall-violins.yaml") != text {
		t.Error("the profile was written over")
	}
	// With every comment of a value taken away, it still plays as its parent.
	_, values, _ := strings.Cut(text, "#\n")
	head, _, _ := strings.Cut(text, "\n\n")
	d.file(own+"hall-violins.yaml", head+"\n"+strings.ReplaceAll("\n"+values, "\n# ", "\n"))
	contains(t, d.must("profile", "diff", "hall-violins"), "play alike")

	contains(t, d.must("profile", "new", "horn", "--extends", "horn", "--to", "house"), "house/horn.yaml")
	contains(t, d.must("profile", "diff", "house/horn.yaml", "built-in:horn"), "house/horn.yaml and built-in:horn play alike")
	for args, want := range map[string]string{
		"a":                              "say with --extends",
		"a --extends vialins":            `the nearest is "violins"`,
		"Hall --extends violins":         "lower-case letters",
		"../a --extends violins":         "lower-case letters",
		"a --extends a":                  `no profile is named "a"`,
		"horn --extends horn --to house": "stays as it is",
	} {
		contains(t, d.fails(append([]string{"profile", "new"}, strings.Fields(args)...)...), want)
	}
}

func TestDiffOfProfiles(t *testing.T) {
	d := atDesktop(t)
	d.file("deep.yaml", "swellbox: 1\nname: deep\nextends: violins\nvibrato: {depth_low_cents: 60}\n")
	contains(t, d.must("profile", "diff", "deep.yaml"), "from violins to deep.yaml:\n  vibrato depth at mf, low register 40 → 60 cents, +50 %\n")
	var got struct {
		From, To string
		Changes  []struct{ About, Before, After, Unit, Change string }
	}
	if err := json.Unmarshal([]byte(d.must("profile", "diff", "violins", "deep.yaml", "--json")), &got); err != nil {
		t.Fatal(err)
	}
	if got.From != "violins" || got.To != "deep.yaml" || len(got.Changes) != 1 || got.Changes[0].After != "60" || got.Changes[0].Unit != "cents" {
		t.Errorf("%+v", got)
	}
	for args, want := range map[string]string{
		"":                    "expected one profile or two",
		"a b c":               "expected one profile or two",
		"plain":               "is based on no other",
		"violin5":             `the nearest is "violin"`,
		"built-in:viol":       `no profile is named "viol"`,
		"violins@one violins": `found "one"`,
		"violins@1 violins":   "is built-in and has no history",
		"none/a.yaml":         "none/a.yaml is not there",
	} {
		contains(t, d.fails(append([]string{"profile", "diff"}, strings.Fields(args)...)...), want)
	}
}

// editor makes an editor of a script, which is given the file.
func (d *desktop) editor(script string) {
	path := d.file("editor.sh", "#!/bin/sh\n"+script)
	if err := os.Chmod(path, 0o755); err != nil {
		d.t.Fatal(err)
	}
	d.t.Setenv("VISUAL", "")
	d.t.Setenv("EDITOR", path+" now")
	d.t.Setenv("TMPDIR", filepath.Join(d.dir, "copies"))
	if err := os.MkdirAll(filepath.Join(d.dir, "copies"), 0o755); err != nil {
		d.t.Fatal(err)
	}
}

func (d *desktop) copies() []string {
	d.t.Helper()
	found, err := filepath.Glob(filepath.Join(d.dir, "copies", "*", "*.yaml"))
	if err != nil {
		d.t.Fatal(err)
	}
	return found
}

func TestEdit(t *testing.T) {
	d := atDesktop(t)
	d.file(own+"mine.yaml", "swellbox: 1\nname: mine\nextends: horn\nplayers: 2 # two\n")
	d.editor(`sed -i 's/players: 2/players: 4/' "$2"`)
	contains(t, d.must("profile", "edit", "mine"), "players 2 → 4, +100 %\n", "saved ")
	contains(t, d.read(own+"mine.yaml"), "players: 4 # two\n")
	contains(t, d.must("profile", "edit", "mine"), "is like that already")
	if left := d.copies(); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}

	d.editor(`sed -i 's/players: 4/players: none/' "$2"`)
	contains(t, d.fails("profile", "edit", "mine"), "what you wrote is kept as ", `players: found "none"`)
	contains(t, d.read(own+"mine.yaml"), "players: 4 # two\n")
	left := d.copies()
	if len(left) != 1 {
		t.Fatalf("kept %v, want one copy", left)
	}
	if b, err := os.ReadFile(left[0]); err != nil || !strings.Contains(string(b), "players: none # two") {
		t.Errorf("kept %q, %v", b, err)
	}

	d.editor("exit 3")
	contains(t, d.fails("profile", "edit", "mine"), "nothing is saved", "exit status 3")
	t.Setenv("EDITOR", "")
	contains(t, d.fails("profile", "edit", "mine"), "name yours in the variable EDITOR")
}

// While the editor is open somebody else saves: both changes are kept, or the
// conflict is named and both documents are there.
func TestEditTogether(t *testing.T) {
	d := atDesktop(t)
	const begun = "swellbox: 1\nname: mine\nextends: horn\nplayers: 2 # two\nbloom: {swell_db: 1}\n"
	mine := d.file(own+"mine.yaml", begun)
	d.editor(`sed -i 's/players: 2/players: 4/' "$2"; sed -i 's/swell_db: 1/swell_db: 2/' ` + mine)
	out := d.must("profile", "edit", "mine")
	contains(t, out, "merged with the change of ")
	contains(t, d.read(own+"mine.yaml"), "players: 4 # two\nbloom: {swell_db: 2}\n")

	d.editor(`sed -i 's/players: 4/players: 6/' "$2"; sed -i 's/players: 4/players: 8/' ` + mine)
	contains(t, d.fails("profile", "edit", "mine"), "both changed players")
	contains(t, d.read(own+"mine.yaml"), "players: 8 # two\n")
}
