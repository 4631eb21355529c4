package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// toyPipe is an instrument as DEVELOPERS.md has one written: one document, and toyRow its row in the
// acoustic model.
const (
	toyPipe = `# Toy pipe, a wood-wind of this test.
swellbox: 1
name: toy-pipe
instrument: toy-pipe
extends: woodwind
voice: oboe
score: # nobody's
  names: [toy pipe, toy pipes, spielpfeife, spielpfeifen]
  plurals: [pipes, spielpfeifen]
  doubtful:
    - {names: [oboe], programs: [112]}
  programs: [112]
  order: 6
  several: 3
`
	toyRow = `	{Name: "toy-pipe", Family: "woodwind", Players: 1, Low: note("Bb3"), High: note("G6"), Middle: note("D5"), Source: ranges,
		Power: oboePower, Registers: oboeRegisters, Colour: oboeColour, Front: reedFront, Ensemble: oboeEnsemble},
`
)

// addInstrument adds the document and the row.
func (r *recipe) addInstrument() {
	const table = "var woodwindRows = []Instrument{\n"
	r.t.Helper()
	rows, err := os.ReadFile(filepath.Join(r.root, "expr", "acoustics", "data_woodwind.go"))
	if err != nil {
		r.t.Fatal(err)
	}
	if strings.Count(string(rows), table) != 1 {
		r.t.Fatal("the table of the wood-wind does not begin as this test knows it")
	}
	r.overlay[filepath.Join(r.root, "profiles", "builtin", "toy-pipe.yaml")] = r.write("toy-pipe.yaml", toyPipe)
	r.overlay[filepath.Join(r.root, "expr", "acoustics", "data_woodwind.go")] = r.write("data_woodwind.go", strings.Replace(string(rows), table, table+toyRow, 1))
}

// An instrument is added by one document and one row of the acoustic model: it is listed and resolved,
// known by its names in any language, by its program, by an ambiguous name with its program, and
// counted.
func instrumentByRecipe(r *recipe) {
	contains(r.t, r.must(r.program, "profile", "list"), "toy-pipe")
	contains(r.t, r.must(r.program, "profile", "show", "toy-pipe"), "spielpfeife", "instrument: toy-pipe")
	toyGuessed(r)
}

// A user's instrument is one document, which sits in the hall as an instrument that there is.
func TestInstrumentOfAUser(t *testing.T) {
	r := sources(t)
	r.build()
	r.write("toy-pipe.yaml", strings.Replace(toyPipe, "instrument: toy-pipe", "instrument: oboe", 1))
	toyGuessed(r, "--profiles", r.dir)
}

// sources are those of the module, with nothing added yet.
func sources(t *testing.T) *recipe {
	t.Helper()
	if testing.Short() {
		t.Skip("it builds the program anew")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	return &recipe{t: t, root: root, dir: t.TempDir(), overlay: map[string]string{}}
}

// toyGuessed lets the program guess who plays a piece with the toy in it.
func toyGuessed(r *recipe, flags ...string) {
	t := r.t
	t.Helper()
	(&desktop{t: t, dir: r.dir}).score("toys.mid", []staff{
		{name: "Toy Pipe", key: 72}, {name: "3 Spielpfeifen", key: 72}, {name: "Pipes", program: 111, key: 72},
		{name: "Toy pipes", key: 72}, {name: "Oboe 1", program: 111, key: 72}, {name: "Horn", key: 60},
	})
	var told []string
	var parts struct{ Parts []toldPart }
	out := r.must(r.program, append([]string{"render", "toys.mid", "-o", "out.mid", "--json"}, flags...)...)
	if err := json.Unmarshal([]byte(out[strings.Index(out, "{"):]), &parts); err != nil {
		t.Fatalf("%v in\n%s", err, out)
	}
	for _, p := range parts.Parts {
		told = append(told, fmt.Sprintf("%s: %d %s", p.Name, p.Players, p.Profile))
	}
	want := "Toy Pipe: 1 toy-pipe, 3 Spielpfeifen: 3 toy-pipe, Pipes: 1 toy-pipe, Toy pipes: 3 toy-pipe, Oboe 1: 1 toy-pipe, Horn: 1 horn"
	if got := strings.Join(told, ", "); got != want {
		t.Errorf("guessed is\n%s\nwant\n%s", got, want)
	}
}
