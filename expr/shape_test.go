package expr_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The shape of the house: files that are short, types that are small, and files that can be
// understood without all the others. A type that is larger is named with its reason, and may only
// shrink: what lies under its bound is logged, to lower it.

const (
	mostLines   = 400
	mostMethods = 25
	mostFields  = 15
	mostCircle  = 5
)

// large are the types over the bounds: methods, fields, and why.
var large = map[string]struct {
	methods, fields int
	why             string
}{
	"expr.Context":                   {0, 37, "a plain record: what is known around a note, each thing by its name"},
	"expr.Gesture":                   {7, 21, "a plain record: how a note is played, each quantity by its name"},
	"expr/hearing.Tone":              {1, 32, "a plain record: a note of a line, held by the hundred in one slice"},
	"expr/nuance.view":               {25, 25, "a plain record of what stands around a note, with a method for each group of terms"},
	"expr/pace.Beats":                {15, 39, "a plain record: a column for each term"},
	"expr/touch.part":                {13, 18, "a plain record: a column for each term"},
	"expr/voices.line":               {5, 25, "a plain record: a voice as it is weighed"},
	"cmd/swellbox/settings.Settings": {9, 21, "a plain record: a field for each setting"},
	"proxy/console.State":            {0, 16, "a plain record: what the page is told, each thing by its name"},
	"proxy/study/sampler.PartFit":    {6, 20, "a plain record: what was measured of a part, each thing by its name"},
	"proxy/study/sampler.view":       {0, 18, "a plain record: what a document's text names"},
	"proxy/formats/musicxml.written": {4, 16, "a plain record: a note as it is written"},
}

func TestShapeOfFiles(t *testing.T) {
	n := 0
	for _, folder := range []string{"cmd", "expr", "profiles", "proxy"} {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
				return err
			}
			b, err := os.ReadFile(path)
			if lines := bytes.Count(b, []byte("\n")); lines > mostLines {
				t.Errorf("%s has %d lines, the most are %d", path, lines, mostLines)
			}
			n++
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 100 {
		t.Errorf("only %d files were looked at", n)
	}
}

// packaged is a package with its types.
type packaged struct {
	path  string
	files []*ast.File
	set   *token.FileSet
	info  *types.Info
	pkg   *types.Package
}

// typed reads the packages under some patterns, tests left out.
func typed(t *testing.T, patterns ...string) (all []packaged) {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-export", "-deps", "-json=ImportPath,Export,Dir,GoFiles,CgoFiles"}, patterns...)...)
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	type listed struct {
		ImportPath, Export, Dir string
		GoFiles, CgoFiles       []string
	}
	exports := map[string]string{}
	var ours []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		exports[p.ImportPath] = p.Export
		if strings.HasPrefix(p.ImportPath, "swellbox/") && len(p.CgoFiles) == 0 {
			ours = append(ours, p)
		}
	}
	for _, p := range ours {
		x := packaged{path: strings.TrimPrefix(p.ImportPath, "swellbox/"), set: token.NewFileSet()}
		x.info = &types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(x.set, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			x.files = append(x.files, f)
		}
		conf := types.Config{Importer: importer.ForCompiler(x.set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })}
		if x.pkg, err = conf.Check(p.ImportPath, x.set, x.files, x.info); err != nil {
			t.Fatal(err)
		}
		all = append(all, x)
	}
	return all
}

// circle is the largest set of a package's files that all refer to each other, by way of others
// or at once.
func (p *packaged) circle() []string {
	file := func(pos token.Pos) string { return filepath.Base(p.set.Position(pos).Filename) }
	refers := map[string]map[string]bool{}
	for id, o := range p.info.Uses {
		if o.Pkg() != p.pkg {
			continue
		}
		from, to := file(id.Pos()), file(o.Pos())
		if refers[from] == nil {
			refers[from] = map[string]bool{}
		}
		refers[from][to] = from != to
	}
	reached := func(from string) map[string]bool {
		seen, todo := map[string]bool{}, []string{from}
		for len(todo) > 0 {
			for to, other := range refers[todo[0]] {
				if other && !seen[to] {
					seen[to] = true
					todo = append(todo, to)
				}
			}
			todo = todo[1:]
		}
		return seen
	}
	reach := map[string]map[string]bool{}
	for from := range refers {
		reach[from] = reached(from)
	}
	var largest []string
	for a := range reach {
		var round []string
		for b := range reach[a] {
			if reach[b][a] {
				round = append(round, b)
			}
		}
		if len(round) > len(largest) {
			largest = round
		}
	}
	slices.Sort(largest)
	return largest
}

func TestManyShapesOfTypes(t *testing.T) {
	found := map[string]bool{}
	for _, p := range typed(t, "./cmd/...", "./profiles/...", "./proxy/...", "./expr/...") {
		if round := p.circle(); len(round) > mostCircle {
			t.Errorf("%s: %d files refer to each other in a circle, the most are %d: %v", p.path, len(round), mostCircle, round)
		}
		if under(p.path, "profiles") {
			continue
		}
		for _, name := range p.pkg.Scope().Names() {
			named, ok := p.pkg.Scope().Lookup(name).Type().(*types.Named)
			if !ok || p.pkg.Scope().Lookup(name).Parent() != p.pkg.Scope() || named.Obj().Name() != name {
				continue
			}
			methods, fields := named.NumMethods(), 0
			if s, ok := named.Underlying().(*types.Struct); ok {
				fields = s.NumFields()
			}
			key := p.path + "." + name
			m, f := mostMethods, mostFields
			if l, ok := large[key]; ok {
				found[key] = true
				m, f = max(l.methods, m), max(l.fields, f)
				if l.methods > mostMethods && methods < l.methods || l.fields > mostFields && fields < l.fields {
					t.Logf("%s has %d methods and %d fields now; lower its bound", key, methods, fields)
				}
			}
			if methods > m || fields > f {
				t.Errorf("%s has %d methods and %d fields, the most are %d and %d", key, methods, fields, m, f)
			}
		}
	}
	for key := range large {
		if !found[key] {
			t.Errorf("%s is no more, or small", key)
		}
	}
}
