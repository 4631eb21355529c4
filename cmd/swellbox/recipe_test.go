package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// toy is a habit as DEVELOPERS.md has one written: one file.
const toy = `package habits

import "swellbox/expr"

// Toy makes every note louder.
type Toy struct{}

var aboutToy = expr.About{
	Name: "toy habit", Key: "toy_habit",
	Sentence: "Every note is a little louder.",
	Changed:  "the toy",
	Source:   "nobody",
}

// About says what the habit is.
func (Toy) About() *expr.About { return &aboutToy }

// Shape adds to the level.
func (Toy) Shape(n *expr.Note, g *expr.Gesture) bool {
	g.NuanceDB += n.Amount
	return n.Amount != 0
}
`

// A habit is added by one file and one line: the schema, a diff, the choice by name, the report
// and the demonstration know it.
func TestHabitByRecipe(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the program anew")
	}
	dir := t.TempDir()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	folder := filepath.Join(root, "expr", "habits")
	list, err := os.ReadFile(filepath.Join(folder, "habits.go"))
	if err != nil {
		t.Fatal(err)
	}
	const last = "Rubato{},"
	if strings.Count(string(list), last) != 1 {
		t.Fatal("the list of habits does not end as this test knows it")
	}
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	overlay, err := json.Marshal(map[string]any{"Replace": map[string]string{
		filepath.Join(folder, "toy.go"):    write("toy.go", toy),
		filepath.Join(folder, "habits.go"): write("habits.go", strings.Replace(string(list), last, last+"\n\tToy{},", 1)),
	}})
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "swellbox")
	run := func(name string, args ...string) string {
		t.Helper()
		cmd := exec.Command(name, args...)
		cmd.Dir = dir
		if name == "go" {
			cmd.Dir = root
		}
		cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+filepath.Join(dir, "config"), "COLUMNS=200")
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%s %v: %v\n%s", name, args, err, out)
		}
		return string(out)
	}
	run("go", "build", "-overlay", write("overlay.json", string(overlay)), "-o", program, "./cmd/swellbox")

	contains(t, run(program, "profile", "schema"), `"toy_habit"`, "Every note is a little louder.")
	write("mine.yaml", "swellbox: 1\nname: mine\nextends: violins\nhabits: {toy_habit: 1.5}\n")
	contains(t, run(program, "profile", "diff", "violins", "mine", "--profiles", dir), "amount of the toy", "1.5")
	write("seating.yaml", "swellbox: 1\nseats:\n  - {port: 1, channel: 1, profile: mine}\n")
	raw := filepath.Join(root, "testdata", "smf", "format0.mid")
	out := run(program, "render", raw, "-o", "out.mid", "--json", "--only", "toy-habit", "--profiles", dir, "--seating", filepath.Join(dir, "seating.yaml"))
	var report struct {
		Parts []struct {
			Notes  int
			Habits map[string]int
		}
	}
	if err := json.Unmarshal([]byte(out[strings.Index(out, "{"):]), &report); err != nil {
		t.Fatal(err)
	}
	if p := report.Parts[0]; p.Notes == 0 || p.Habits["toy-habit"] != p.Notes || len(p.Habits) != 1 {
		t.Errorf("by the toy alone: %+v", p)
	}
}
