package expr_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// Tests called TestMany… run without the race detector, which sees nothing in one goroutine: so they
// stand where neither their package nor any of ours that it needs starts another, use none that
// does, and start none themselves.
//
// The goroutines of what is in raced, packages or tests, are the same that the test named there runs
// with the race detector, in a smaller case: they count as none.
var raced = map[string]string{
	"swellbox/proxy/study/audition": "TestSameInputSameSamples",
	"swellbox/proxy/study/balance":  "TestProcessors",
	"swellbox/proxy/study/sampler":  "TestDeadControllerIsFound",
	"TestManyNotesOfTheDemo":        "TestInterrupted",
	"TestManyRoundsOfSharing":       "TestServeAndPull",
}

func TestArchitectureOfMany(t *testing.T) {
	all := list(t, "./...")
	starts := startsGoroutines(t, all)
	tests := map[string]bool{}
	n := 0
	for _, p := range all {
		folder := filepath.Join("..", strings.TrimPrefix(p.ImportPath, "swellbox/"))
		files, err := filepath.Glob(filepath.Join(folder, "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range files {
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			for _, decl := range f.Decls {
				fun, ok := decl.(*ast.FuncDecl)
				if !ok {
					continue
				}
				tests[fun.Name.Name] = true
				if !strings.HasPrefix(fun.Name.Name, "TestMany") {
					continue
				}
				n++
				if goes(fun) {
					t.Errorf("%s: %s starts a goroutine", path, fun.Name.Name)
				}
				if raced[fun.Name.Name] != "" {
					continue
				}
				if needs := starts[p.ImportPath]; needs != "" {
					t.Errorf("%s: %s: its package needs %s, which starts goroutines", path, fun.Name.Name, needs)
				}
				for _, imp := range importsOf(f) {
					if starts[imp] != "" || strings.HasPrefix(imp, "sync/") || imp == "sync" && shares(f) {
						t.Errorf("%s: %s: its file imports %s", path, fun.Name.Name, imp)
					}
				}
			}
		}
	}
	for what, by := range raced {
		if strings.HasPrefix(what, "Test") && !tests[what] || !tests[by] || strings.HasPrefix(by, "TestMany") {
			t.Errorf("there is no %s, or no %s, which runs its goroutines with the race detector", what, by)
		}
	}
	if n < 25 {
		t.Errorf("only %d tests were looked at", n)
	}
}

// startsGoroutines finds the packages that start goroutines: by import path, which of ours, itself
// included, does it.
func startsGoroutines(t *testing.T, all []listed) map[string]string {
	t.Helper()
	does := map[string]bool{}
	for _, p := range all {
		folder := filepath.Join("..", strings.TrimPrefix(p.ImportPath, "swellbox/"))
		err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && path != folder:
				return fs.SkipDir
			case d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
				return nil
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err == nil && (goes(f) || slices.Contains(importsOf(f), "net/http")) {
				does[p.ImportPath] = true
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(does) < 5 || !does["swellbox/proxy/live"] {
		t.Errorf("goroutines were found in %v only", does)
	}
	for path := range raced {
		delete(does, path)
	}
	starts := map[string]string{}
	for _, p := range all {
		for _, path := range append(p.Deps, p.ImportPath) {
			if does[path] {
				starts[p.ImportPath] = path
			}
		}
	}
	return starts
}

// shares reports whether a file uses of the package sync more than what is done once.
func shares(f *ast.File) (found bool) {
	ast.Inspect(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.SelectorExpr); ok {
			if of, ok := s.X.(*ast.Ident); ok && of.Name == "sync" && !strings.HasPrefix(s.Sel.Name, "Once") {
				found = true
			}
		}
		return !found
	})
	return found
}

// goes reports whether a goroutine is started: by go, by the Go of a group, or by a parallel test.
func goes(in ast.Node) (found bool) {
	ast.Inspect(in, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.GoStmt:
			found = true
		case *ast.CallExpr:
			if fun, ok := n.Fun.(*ast.SelectorExpr); ok && (fun.Sel.Name == "Go" || fun.Sel.Name == "Parallel" || fun.Sel.Name == "AfterFunc") {
				found = true
			}
		}
		return !found
	})
	return found
}

func importsOf(f *ast.File) (paths []string) {
	for _, imp := range f.Imports {
		if path, err := strconv.Unquote(imp.Path.Value); err == nil {
			paths = append(paths, path)
		}
	}
	return paths
}

// The check finds what it is to find.
func TestGoroutinesAreFound(t *testing.T) {
	for body, want := range map[string]bool{
		`f()`:                           false,
		`go f()`:                        true,
		`func() { go func() {}() }()`:   true,
		`var g sync.WaitGroup; g.Go(f)`: true,
		`t.Run("x", func(t *testing.T) { t.Parallel() })`: true,
		`time.AfterFunc(1, f)`:                            true,
	} {
		f, err := parser.ParseFile(token.NewFileSet(), "p.go", "package p\nfunc f() {\n"+body+"\n}\n", parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(body, err)
		}
		if got := goes(f); got != want {
			t.Errorf("%s: %v, want %v", body, got, want)
		}
	}
}
