package main

import (
	"encoding/json"
	"io"
	"net"
	"net/http"
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

// recipe is this program with files added or replaced, as a page of DEVELOPERS.md has them.
type recipe struct {
	t        *testing.T
	root     string
	dir      string // of what it writes
	overlay  map[string]string
	program  string
	overlaid string
}

// TestRecipes follows the pages of DEVELOPERS.md that say how to add a habit, an instrument and a
// command: all three are built in at once, as a build takes longest.
func TestRecipes(t *testing.T) {
	r := sources(t)
	r.list("expr/habits", "toy.go", toy, "habits.go", "Rubato{},", "Toy{},")
	r.list("proxy/control", "whisper.go", whisper, "commands.go", "&panicCommand,", "&whisperCommand,")
	r.overlay[filepath.Join(r.root, "proxy", "control", "whisper_test.go")] = r.write("whisper_test.go", whisperTest)
	r.addInstrument()
	r.build()
	for name, check := range map[string]func(*recipe){"habit": habitByRecipe, "instrument": instrumentByRecipe, "command": commandByRecipe} {
		t.Run(name, func(t *testing.T) {
			of := *r
			of.t, of.dir = t, t.TempDir()
			check(&of)
		})
	}
}

// list adds one new file, and one line behind one that a list has once.
func (r *recipe) list(folder, file, text, list, behind, line string) {
	r.t.Helper()
	folder = filepath.Join(r.root, filepath.FromSlash(folder))
	all, err := os.ReadFile(filepath.Join(folder, list))
	if err != nil {
		r.t.Fatal(err)
	}
	if strings.Count(string(all), behind) != 1 {
		r.t.Fatalf("%s does not end as this test knows it", list)
	}
	r.overlay[filepath.Join(folder, file)] = r.write(file, text)
	r.overlay[filepath.Join(folder, list)] = r.write(list, strings.Replace(string(all), behind, behind+"\n\t"+line, 1))
}

func (r *recipe) write(name, text string) string {
	path := filepath.Join(r.dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		r.t.Fatal(err)
	}
	return path
}

// build builds the program.
func (r *recipe) build() {
	r.t.Helper()
	overlay, err := json.Marshal(map[string]any{"Replace": r.overlay})
	if err != nil {
		r.t.Fatal(err)
	}
	r.overlaid = r.write("overlay.json", string(overlay))
	r.program = filepath.Join(r.dir, "swellbox")
	r.must("go", "build", "-overlay", r.overlaid, "-o", r.program, "./cmd/swellbox")
}

// run runs the program, or go in the root of the sources.
func (r *recipe) run(name string, args ...string) (out string, err error) {
	cmd := exec.Command(name, args...)
	cmd.Dir = r.dir
	if name == "go" {
		cmd.Dir = r.root
	}
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+filepath.Join(r.dir, "config"), "COLUMNS=200")
	b, err := cmd.CombinedOutput()
	return string(b), err
}

func (r *recipe) must(name string, args ...string) string {
	r.t.Helper()
	out, err := r.run(name, args...)
	if err != nil {
		r.t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return out
}

// A habit is added by one file and one line: the schema, a diff, the choice by name, the report
// and the demonstration know it.
func habitByRecipe(r *recipe) {
	t := r.t
	run, program, dir, root, write := r.must, r.program, r.dir, r.root, r.write

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

// whisper is a command of the control API as DEVELOPERS.md has one written: one file.
const whisper = `package control

import (
	"errors"

	"swellbox/expr"
	"swellbox/proxy/live"
)

// WhisperRequest is the body of POST /whisper.
type WhisperRequest struct {
	To string ` + "`json:\"to\"`" + `
}

var whisperCommand = steering(Command{
	Name: "whisper", Short: "have one part play raw",
	Takes: Arguments{Usage: "PART", One: "the name of one part"},
	Said:  func(s *live.Status) string { return "whispered, now " + s.Side },
}, func(args []string) (*WhisperRequest, error) {
	if args[0] == "" {
		return nil, errors.New("a part has a name")
	}
	return &WhisperRequest{To: args[0]}, nil
}, func(d switcher, req *WhisperRequest) error { return d.Switch(expr.Raw, []string{req.To}) })
`

// whisperTest asks a daemon's handler for it.
const whisperTest = `package control_test

import (
	"slices"
	"testing"
)

func TestWhisper(t *testing.T) {
	p := &puppet{}
	if code, answer := ask(t, serve(t, p), "POST", "/whisper", "{\"to\":\"Flute\"}"); code != 200 || !slices.Equal(p.parts, []string{"Flute"}) {
		t.Errorf("%d %s, whispered to %q", code, answer, p.parts)
	}
}
`

// A command of the control API is added by one file and one line: the daemon answers it, and the
// command line has it, with its help and its errors.
func commandByRecipe(r *recipe) {
	t := r.t
	r.must("go", "test", "-overlay", r.overlaid, "-run", "TestWhisper", "./proxy/control")

	contains(t, r.must(r.program, "--help"), "whisper", "have one part play raw")
	contains(t, r.must(r.program, "whisper", "--help"), "swellbox whisper PART")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"whisper"}, "expected the name of one part, found none; see swellbox whisper --help"},
		{[]string{"whisper", ""}, "a part has a name; see swellbox whisper --help"},
		{[]string{"whisper", "Flute", "--control", filepath.Join(r.dir, "none")}, "no swellbox is running on"},
	} {
		if out, err := r.run(r.program, c.args...); err == nil || !strings.Contains(out, c.want) {
			t.Errorf("%q: %v, %s", c.args, err, out)
		}
	}

	socket := filepath.Join(t.TempDir(), "s")
	l, err := net.Listen("unix", socket)
	if err != nil {
		t.Fatal(err)
	}
	asked := make(chan string, 1)
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		b, err := io.ReadAll(q.Body)
		if err != nil {
			t.Error(err)
		}
		asked <- q.Method + " " + q.URL.Path + " " + string(b)
		io.WriteString(w, `{"side":"mixed"}`)
	})}
	go server.Serve(l)
	defer server.Close()
	contains(t, r.must(r.program, "whisper", "Flute", "--control", socket), "whispered, now mixed")
	if got, want := <-asked, `POST /whisper {"to":"Flute"}`; got != want {
		t.Errorf("asked %s, want %s", got, want)
	}
}
