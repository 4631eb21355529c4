package rtmidi

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const (
	libraryModule = "gitlab.com/gomidi/midi"
	libraryPath   = libraryModule + "/v2/drivers/rtmididrv/imported/rtmidi"
)

// goList runs go list -json and returns the folders of the packages, by import path.
func goList(t *testing.T, patterns ...string) map[string]string {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-e", "-find", "-json=ImportPath,Dir"}, patterns...)...)
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	dirs := map[string]string{}
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct{ ImportPath, Dir string }
		err := d.Decode(&p)
		if errors.Is(err, io.EOF) {
			return dirs
		}
		if err != nil {
			t.Fatal(err)
		}
		dirs[p.ImportPath] = p.Dir
	}
}

// One file of the module knows the library. The files are read rather than the
// lists of imports, so that those of other systems and of tests count too.
func TestFence(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs the go command")
	}
	dirs := goList(t, "swellbox/...")
	if dirs["swellbox/proxy/ports/rtmidi"] == "" || dirs["swellbox/proxy"] == "" {
		t.Fatalf("go list does not know this package: %v", dirs)
	}
	found := map[string][]string{}
	for path, dir := range dirs {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil || len(files) == 0 {
			t.Fatalf("%s has no files: %v", path, err)
		}
		for _, file := range files {
			f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
			if err != nil {
				continue // someone else's test says so
			}
			for _, i := range f.Imports {
				if name, err := strconv.Unquote(i.Path.Value); err == nil && strings.HasPrefix(name, libraryModule) {
					at := path + "/" + filepath.Base(file)
					found[at] = append(found[at], name)
				}
			}
		}
	}
	const fence = "swellbox/proxy/ports/rtmidi/library_cgo.go"
	if len(found[fence]) != 1 || found[fence][0] != libraryPath {
		t.Errorf("%s imports %q, want %q", fence, found[fence], libraryPath)
	}
	delete(found, fence)
	for at, names := range found {
		t.Errorf("%s imports %q: only %s may", at, names, fence)
	}
}

// closerOf depends on how the wrapper is built, which no compiler checks.
func TestLibraryIsBuiltAsExpected(t *testing.T) {
	if testing.Short() {
		t.Skip("it runs the go command")
	}
	dir := goList(t, libraryPath)[libraryPath]
	f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(dir, "rtmidi.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	embeds, closes := false, []string(nil)
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.TypeSpec:
			if s, ok := n.Type.(*ast.StructType); ok && n.Name.Name == "midiIn" {
				for _, field := range s.Fields.List {
					if id, ok := field.Type.(*ast.Ident); ok && field.Names == nil && id.Name == "midi" {
						embeds = true
					}
				}
			}
		case *ast.FuncDecl:
			if n.Name.Name != "Close" || n.Recv == nil {
				return false
			}
			star, ok := n.Recv.List[0].Type.(*ast.StarExpr)
			if id, isIdent := star.X.(*ast.Ident); !ok || !isIdent || id.Name != "midi" {
				return false
			}
			ast.Inspect(n.Body, func(n ast.Node) bool {
				if call, ok := n.(*ast.SelectorExpr); ok && strings.HasPrefix(call.Sel.Name, "rtmidi_") {
					closes = append(closes, call.Sel.Name)
				}
				return true
			})
			return false
		}
		return true
	})
	if !embeds || len(closes) != 1 || closes[0] != "rtmidi_close_port" {
		t.Errorf("midiIn embeds midi: %v; its Close calls %q, want rtmidi_close_port alone", embeds, closes)
	}
}

// midi and those that embed it are built as the wrapper's are.
type midi struct{ closed int }

func (m *midi) Close() error { m.closed++; return nil }

type hiding struct {
	midi
	in int
}

func (*hiding) Close() error { panic("the wrong Close") }

func TestCloserOf(t *testing.T) {
	h := &hiding{in: 1}
	c, ok := closerOf(h)
	if !ok {
		t.Fatal("not found")
	}
	if err := c.Close(); err != nil || h.closed != 1 {
		t.Errorf("closed %d times, %v", h.closed, err)
	}
	for _, other := range []any{nil, 3, hiding{}, new(int), &struct{ midi int }{}, &struct{ port midi }{}} {
		if _, ok := closerOf(other); ok {
			t.Errorf("found in %T", other)
		}
	}
}
