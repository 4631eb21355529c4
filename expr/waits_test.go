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

// No test depends on how fast the machine is: it waits for what was heard, in time that is
// false (testing/synctest) or up to a limit that only a hang meets. So each call of package time
// or context that waits, or ends a wait, stands inside a synctest.Test or has its reason beside it.
func TestArchitectureOfWaits(t *testing.T) {
	n := 0
	for _, folder := range []string{"cmd", "expr", "profiles", "proxy"} {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") && !(strings.HasSuffix(path, ".go") && strings.Contains(path, "testdata")) {
				return err
			}
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			n++
			for _, complaint := range waits(set, f) {
				t.Error(complaint)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 100 {
		t.Errorf("only %d files were looked at", n)
	}
}

// waiting are the functions that wait, or bound a wait, by import path.
var waiting = map[string][]string{
	"time":    {"Sleep", "After", "AfterFunc", "Tick", "NewTicker", "NewTimer"},
	"context": {"WithTimeout", "WithDeadline", "WithTimeoutCause", "WithDeadlineCause"},
}

// waits lists the calls in a file that wait without a reason.
func waits(set *token.FileSet, f *ast.File) (complaints []string) {
	imports := map[string]string{} // path, by the name that the file gives it
	for _, imp := range f.Imports {
		path, err := strconv.Unquote(imp.Path.Value)
		if err != nil {
			continue
		}
		name := path[strings.LastIndexByte(path, '/')+1:]
		if imp.Name != nil {
			name = imp.Name.Name
		}
		imports[name] = path
	}
	reasons := map[int]bool{} // lines that end in a comment
	for _, group := range f.Comments {
		for _, c := range group.List {
			reasons[set.Position(c.Pos()).Line] = true
		}
	}
	look := func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		fun, ok := call.Fun.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		x, ok := fun.X.(*ast.Ident)
		if !ok {
			return true
		}
		path, name := imports[x.Name], fun.Sel.Name
		if path == "testing/synctest" && name == "Test" {
			return false
		}
		if slices.Contains(waiting[path], name) && !reasons[set.Position(call.Pos()).Line] {
			complaints = append(complaints, set.Position(call.Pos()).String()+": "+x.Name+"."+name+
				": wait for what is heard, or in a synctest.Test, or say in a comment on the line why it waits for a time")
		}
		return true
	}
	ast.Inspect(f, look)
	return complaints
}

// The check finds what it is to find.
func TestWaitsAreFound(t *testing.T) {
	for body, want := range map[string]int{
		`time.Sleep(time.Second)`:                                              1,
		`time.Sleep(time.Second) // the kernel tells nobody`:                   0,
		"// not beside it\ntime.Sleep(time.Second)":                            1,
		`synctest.Test(t, func(t *testing.T) { time.Sleep(time.Second) })`:     0,
		`select { case <-time.After(1): }; time.AfterFunc(1, nil)`:             2,
		`_, c := context.WithTimeout(t.Context(), 1); defer c()`:               1,
		`_, c := context.WithTimeout(t.Context(), 1) // only a hang meets it`:  0,
		`f := func() { for range time.Tick(1) { f() } }`:                       1,
		`r.Sleep(1); time.Now(); var time clock; _ = time.Until`:               0,
		`go func() { <-time.NewTimer(1).C }(); defer time.NewTicker(1).Stop()`: 2,
	} {
		set := token.NewFileSet()
		source := "package p\nimport (\"time\"; \"context\"; \"testing/synctest\")\nfunc f() {\n" + body + "\n}\n"
		f, err := parser.ParseFile(set, "p_test.go", source, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(body, err)
		}
		if got := waits(set, f); len(got) != want {
			t.Errorf("%s: %d complaints, want %d: %v", body, len(got), want, got)
		}
	}
}
