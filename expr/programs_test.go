package expr_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// always are programs that need no package: what runs the tests, what no Debian is without, and our own.
var always = []string{"go", "sh", "setsid", "ldd", "swellbox"}

// A test that looks for a program and does not find it says so and passes over its check, or fails
// in CI. So .ci/deps knows each and installs it. A name that is not written in the call stands in a
// comment behind it.
func TestArchitectureOfPrograms(t *testing.T) {
	text, err := os.ReadFile("../.ci/deps")
	if err != nil {
		t.Fatal(err)
	}
	known := installed(t, string(text))
	looked := 0
	for _, folder := range []string{"cmd", "expr", "profiles", "proxy"} {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") && !strings.Contains(path, "/seqtest/") || !strings.HasSuffix(path, ".go") {
				return err
			}
			set := token.NewFileSet()
			f, err := parser.ParseFile(set, path, nil, parser.ParseComments|parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			for at, names := range programs(set, f) {
				looked += len(names)
				if len(names) == 0 {
					t.Errorf("%s: name the programs that are looked for in a comment on the line", at)
				}
				for _, name := range names {
					if !slices.Contains(known, name) && !slices.Contains(always, name) {
						t.Errorf("%s: .ci/deps does not install %s: add it there", at, name)
					}
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if looked < 20 {
		t.Errorf("only %d programs are looked for", looked)
	}
}

// programs are the names that a file looks for or runs, by the place of the call.
func programs(set *token.FileSet, f *ast.File) map[string][]string {
	comments := map[int]string{}
	for _, group := range f.Comments {
		for _, c := range group.List {
			comments[set.Position(c.Pos()).Line] = strings.TrimPrefix(c.Text, "//")
		}
	}
	found := map[string][]string{}
	ast.Inspect(f, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) == 0 {
			return true
		}
		fun, ok := call.Fun.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		pkg, ok := fun.X.(*ast.Ident)
		if !ok || pkg.Name != "exec" {
			return true
		}
		arg := call.Args[0]
		switch fun.Sel.Name {
		case "LookPath", "Command":
		case "CommandContext":
			arg = call.Args[1]
		default:
			return true
		}
		at := set.Position(call.Pos())
		lit, ok := arg.(*ast.BasicLit)
		switch {
		case ok:
			if name, err := strconv.Unquote(lit.Value); err == nil {
				found[at.String()] = []string{name}
			}
		case fun.Sel.Name == "LookPath": // whatever else is run was looked for, or is a test itself
			found[at.String()] = strings.FieldsFunc(comments[at.Line], func(r rune) bool { return r == ' ' || r == ',' })
		}
		return true
	})
	return found
}

// installed are the programs that .ci/deps looks for, for tests, and has a package of.
func installed(t *testing.T, deps string) (names []string) {
	t.Helper()
	body := func(function string) string {
		m := regexp.MustCompile(`(?ms)^` + function + `\(\) \{$(.*?)^\}$`).FindStringSubmatch(deps)
		if m == nil {
			t.Fatalf(".ci/deps has no function %s", function)
		}
		return m[1]
	}
	needs := strings.FieldsFunc(body("needs"), func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == ')' })
	table := map[string]bool{}
	for row := range strings.Lines(body("table")) {
		if fields := strings.Fields(row); len(fields) > 2 {
			table[fields[0]] = fields[1] != "-"
		}
	}
	for _, m := range regexp.MustCompile(`(?m)^\t([a-z_ |]+)\) (.*) ;;`).FindAllStringSubmatch(body("met"), -1) {
		for _, need := range strings.Split(m[1], " | ") {
			if !slices.Contains(needs, need) || !table[need] {
				continue
			}
			for _, have := range regexp.MustCompile(`have ("\$1"|[a-z0-9_+-]+)`).FindAllStringSubmatch(m[2], -1) {
				names = append(names, strings.ReplaceAll(have[1], `"$1"`, need))
			}
		}
	}
	return names
}

// The check finds what it is to find.
func TestProgramsAreFound(t *testing.T) {
	deps := "needs() {\n\techo tool\n\ttest) echo other\n}\nmet() {\n\ttool) have a && have b-c ;;\n\tother | lost) have \"$1\" ;;\n\tbare) have bare ;;\n}\ntable() {\n\tcat\n\tneed debian x\n\ttool t t\n\tother o o\n\tbare b b\n}\n"
	if got, want := installed(t, deps), []string{"a", "b-c", "other"}; !slices.Equal(got, want) {
		t.Errorf("installed: %q, want %q", got, want)
	}
	for body, want := range map[string][]string{
		`exec.LookPath("sox")`:             {"sox"},
		`exec.LookPath(name) // node, npm`: {"node", "npm"},
		`exec.LookPath(name)`:              nil,
		`exec.Command("ip", "link").Run()`: {"ip"},
		`exec.CommandContext(ctx, "ip")`:   {"ip"},
	} {
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, "p.go", "package p\nfunc f() {\n"+body+"\n}\n", parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(body, err)
		}
		found := programs(set, f)
		if len(found) != 1 {
			t.Errorf("%s: found %v", body, found)
		}
		for _, got := range found {
			if !slices.Equal(got, want) {
				t.Errorf("%s: %q, want %q", body, got, want)
			}
		}
	}
}
