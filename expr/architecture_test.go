package expr_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The rules of the layout: what each folder knows, and never knows.

// listed is what go list says of a package.
type listed struct {
	ImportPath string
	Imports    []string
	Deps       []string
}

// list asks go list, for this system and no build tags.
func list(t *testing.T, patterns ...string) []listed {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-json=ImportPath,Imports,Deps"}, patterns...)...)
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list %v: %v", patterns, err)
	}
	var all []listed
	for dec := json.NewDecoder(strings.NewReader(string(out))); dec.More(); {
		var p listed
		if err := dec.Decode(&p); err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	if len(all) == 0 {
		t.Fatalf("go list %v lists nothing", patterns)
	}
	return all
}

func under(path, folder string) bool { return path == folder || strings.HasPrefix(path, folder+"/") }

// What each room of expr may import beside arithmetic and words: the vocabulary knows nobody,
// habits, hearing and the engine do not know each other, but the engine asks hearing.
var rooms = map[string][]string{
	"expr":            {"acoustics", "pedalling", "thresholds", "timing"},
	"expr/acoustics":  nil,
	"expr/aligning":   {""},
	"expr/beat":       {"thresholds"},
	"expr/channels":   {""},
	"expr/engine":     {"", "beat", "channels", "hearing", "timing", "pedalling"},
	"expr/exprtest":   {""},
	"expr/following":  {""},
	"expr/foot":       {"", "pedalling"},
	"expr/habits":     {"", "acoustics", "listening", "pedalling", "timing"},
	"expr/hearing":    {"", "beat", "foot", "listening", "nuance", "pace", "pedalling", "thresholds", "timing", "touch", "voices"},
	"expr/lines":      nil,
	"expr/listening":  nil,
	"expr/meter":      {"", "channels"},
	"expr/ornament":   nil,
	"expr/nuance":     {"", "listening", "thresholds"},
	"expr/pace":       {""},
	"expr/pedalling":  {"listening", "thresholds"},
	"expr/thresholds": nil,
	"expr/timing":     {"thresholds"},
	"expr/touch":      {""},
	"expr/voices":     {"thresholds"},
}

// The core needs arithmetic and words, and nothing of the world; each room only its neighbours.
func TestImportsOfRooms(t *testing.T) {
	words := []string{"cmp", "errors", "fmt", "math", "math/bits", "math/rand/v2", "maps", "slices", "sort", "strconv", "strings", "time"}
	for _, p := range list(t, "./expr/...") {
		room := strings.TrimPrefix(p.ImportPath, "swellbox/")
		may, known := rooms[room]
		if !known {
			t.Errorf("the room %s is new; say what it may import", room)
		}
		for _, path := range p.Imports {
			neighbour, own := strings.CutPrefix(path, "swellbox/expr")
			if own && slices.Contains(may, strings.TrimPrefix(neighbour, "/")) || slices.Contains(words, path) || room == "expr/exprtest" && path == "testing" {
				continue
			}
			t.Errorf("%s imports %s; it may import %v and %v", p.ImportPath, path, may, words)
		}
	}
}

// What the rooms of proxy may import of the module, beside expr and profiles with their rooms.
// They run one way: control, live, offline, perform; the player of live plays what offline reads.
var roomsOfProxy = map[string][]string{
	"proxy/console":        {"proxy/control", "proxy/live", "proxy/perform"},
	"proxy/control":        {"proxy/live"},
	"proxy/live":           {"proxy/formats/recording", "proxy/formats/wire", "proxy/offline", "proxy/perform", "proxy/ports"},
	"proxy/offline":        {"proxy/formats/musicxml", "proxy/formats/smf", "proxy/perform"},
	"proxy/perform":        nil,
	"proxy/ports":          {"proxy/formats/wire"},
	"proxy/ports/portstub": {"proxy/formats/wire", "proxy/ports"},
	"proxy/ports/rtmidi":   {"proxy/formats/wire", "proxy/ports"},
	"proxy/ports/silent":   {"proxy/ports"},
}

func TestImportsOfRoomsOfProxy(t *testing.T) {
	for room, may := range roomsOfProxy {
		for _, p := range list(t, "./"+room) {
			for _, path := range p.Imports {
				neighbour, own := strings.CutPrefix(path, "swellbox/")
				if own && !under(neighbour, "expr") && !under(neighbour, "profiles") && !slices.Contains(may, neighbour) {
					t.Errorf("%s imports %s; of proxy it may import %v", room, path, may)
				}
				if room == "proxy/perform" && slices.Contains([]string{"context", "log", "net", "os", "sync", "sync/atomic"}, path) {
					t.Errorf("%s imports %s: it has no goroutine, file or log", room, path)
				}
			}
		}
	}
}

// Imports run one way: cmd, proxy, profiles, expr.
func TestImportsRunOneWay(t *testing.T) {
	for _, rule := range []struct {
		packages string
		never    []string
	}{
		{"./expr/...", []string{"swellbox/profiles", "swellbox/proxy", "swellbox/cmd", "gitlab.com/gomidi"}},
		{"./profiles/...", []string{"swellbox/proxy", "swellbox/cmd", "gitlab.com/gomidi"}},
		{"./proxy/control", []string{"swellbox/proxy/ports/rtmidi", "swellbox/proxy/ports/portstub", "gitlab.com/gomidi"}},
		{"./proxy/console", []string{"swellbox/proxy/ports/rtmidi", "swellbox/proxy/ports/portstub", "swellbox/proxy/study", "gitlab.com/gomidi"}},
		{"./proxy/offline", []string{"swellbox/proxy/live", "swellbox/proxy/ports", "github.com/rs/zerolog", "github.com/fsnotify"}},
		{"./proxy/...", []string{"swellbox/cmd"}},
		{"./proxy/formats/smf", []string{"swellbox/expr", "gitlab.com/gomidi"}},
		{"./proxy/formats/wire", []string{"swellbox/expr", "swellbox/profiles", "gitlab.com/gomidi"}},
	} {
		for _, p := range list(t, rule.packages) {
			for _, never := range rule.never {
				if i := slices.IndexFunc(p.Deps, func(dep string) bool { return under(dep, never) }); i >= 0 {
					t.Errorf("%s depends on %s", p.ImportPath, p.Deps[i])
				}
			}
		}
	}
}

// sources parses the Go files under a folder of the module, tests left out, whatever
// system or build tag they are for.
func sources(t *testing.T, folder string, visit func(path string, set *token.FileSet, f *ast.File)) (n int) {
	t.Helper()
	err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
		if err == nil {
			n++
			visit(path, set, f)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// The MIDI library is fenced into one file: it can panic, and it is not what we are about.
func TestOneFileKnowsTheMIDILibrary(t *testing.T) {
	var found []string
	for _, folder := range []string{"cmd", "expr", "profiles", "proxy"} {
		sources(t, folder, func(path string, _ *token.FileSet, f *ast.File) {
			for _, imp := range f.Imports {
				if p, err := strconv.Unquote(imp.Path.Value); err == nil && under(p, "gitlab.com/gomidi") && !slices.Contains(found, path) {
					found = append(found, path)
				}
			}
		})
	}
	if len(found) != 1 {
		t.Errorf("%d files import the MIDI library, want one: %v", len(found), found)
	}
}

// The engine, the desk and what plays files have no clock and no goroutine: time is what they are told.
func TestEngineHasNoClock(t *testing.T) {
	fromTime := []string{"Duration", "Nanosecond", "Microsecond", "Millisecond", "Second", "Minute", "Hour"}
	for _, folder := range []string{"expr", "proxy/perform", "proxy/offline"} {
		n := sources(t, folder, func(path string, set *token.FileSet, f *ast.File) {
			for _, complaint := range impure(set, f, fromTime) {
				t.Error(complaint)
			}
		})
		if n < 10 {
			t.Errorf("only %d files of %s were looked at", n, folder)
		}
	}
}

// impure lists what in a file has to do with clocks and goroutines. Of the package
// time, only the given names may be used.
func impure(set *token.FileSet, f *ast.File, fromTime []string) (complaints []string) {
	complain := func(n ast.Node, what string) {
		complaints = append(complaints, set.Position(n.Pos()).String()+": "+what)
	}
	clock := ""
	for _, imp := range f.Imports {
		if imp.Path.Value != `"time"` {
			continue
		}
		if clock = "time"; imp.Name != nil {
			clock = imp.Name.Name
		}
		if clock == "." {
			complain(imp, "it imports time without a name")
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			complain(n, "it starts a goroutine")
		case *ast.SelectStmt:
			complain(n, "it waits on channels")
		case *ast.ChanType:
			complain(n, "it has a channel")
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok && clock != "" && x.Name == clock && !slices.Contains(fromTime, n.Sel.Name) {
				complain(n, "it uses time."+n.Sel.Name)
			}
		}
		return true
	})
	return complaints
}

// The check finds what it is to find.
func TestImpurityIsFound(t *testing.T) {
	for source, want := range map[string]int{
		`package p; import "time"; var d time.Duration = time.Second`:      0,
		`package p; import "time"; var t = time.Now()`:                     1,
		`package p; import clock "time"; var t = clock.Since`:              1,
		`package p; import . "time"; var t = Now()`:                        1,
		`package p; import "time"; func f() { time.Sleep(1) }`:             1,
		`package p; import "time"; var t = time.NewTimer`:                  1,
		`package p; import "time"; var c = time.After`:                     1,
		`package p; func f() { go f() }`:                                   1,
		`package p; func f() { select {} }`:                                1,
		`package p; var c chan int`:                                        1,
		`package p; type time struct{}; func (t time) Now() {}; var x = 1`: 0,
	} {
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, "p.go", source, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		if got := impure(set, f, []string{"Duration", "Second"}); len(got) != want {
			t.Errorf("%s: %d complaints, want %d: %v", source, len(got), want, got)
		}
	}
}

// The map of the house names every room.
func TestMapNamesAllRooms(t *testing.T) {
	b, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(b), "## The map")
	plan, _, _ := strings.Cut(rest, "\n## ")
	for _, p := range list(t, "./cmd/...", "./expr/...", "./profiles/...", "./proxy/...") {
		room := strings.TrimPrefix(p.ImportPath, "swellbox/")
		if room == "proxy" || strings.Contains(room, "/testdata/") { // the one only says what lies under it
			continue
		}
		// Neighbours may share a row: `profiles/change/`, `draw/`.
		if !strings.Contains(plan, "`"+room+"/`") && !strings.Contains(plan, ", `"+path.Base(room)+"/`") {
			t.Errorf("the map of DEVELOPERS.md has no row for %s", room)
		}
	}
}
