package profiles

import (
	"bytes"
	"errors"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"unicode/utf16"

	"swellbox/profiles/reading"
)

// refused checks that every reader of documents refuses b with one problem, in one
// clear line.
func refused(t *testing.T, what string, b []byte, want string) {
	t.Helper()
	for kind, parse := range map[Kind]func(string, []byte) error{
		KindProfile:       func(f string, b []byte) error { _, err := Parse(f, b); return err },
		KindSeating:       func(f string, b []byte) error { _, err := ParseSeating(f, b); return err },
		KindControllerMap: func(f string, b []byte) error { _, err := ParseControllerMap(f, b); return err },
		"any":             func(f string, b []byte) error { _, err := ParseAny(f, b); return err },
	} {
		err := parse("f.yaml", b)
		var ps Problems
		if !errors.As(err, &ps) || len(ps) != 1 || !strings.Contains(err.Error(), want) || len(err.Error()) > 300 {
			t.Errorf("%s, %s: %d problems, %.500v\nwant one with %s", what, kind, len(ps), err, want)
		}
	}
}

func encoded(text string, big bool, mark bool) []byte {
	var b []byte
	units := utf16.Encode([]rune(text))
	if mark {
		units = append([]uint16{0xFEFF}, units...)
	}
	for _, u := range units {
		hi, lo := byte(u>>8), byte(u)
		if !big {
			hi, lo = lo, hi
		}
		b = append(b, hi, lo)
	}
	return b
}

func TestEncodings(t *testing.T) {
	const text = "swellbox: 1\nname: flöte\n"
	latin := []byte(strings.ReplaceAll(text, "ö", "\xF6"))
	refused(t, "Latin-1", latin, "f.yaml:2:9: found the byte 0xF6, which is not UTF-8; save the file as UTF-8")
	for _, big := range []bool{false, true} {
		refused(t, "UTF-16", encoded(text, big, true), "f.yaml: the file is encoded as UTF-16, allowed is UTF-8")
		refused(t, "UTF-16 without a mark", encoded(text, big, false), "found a byte of value 0")
	}
	refused(t, "holes", []byte("swellbox: 1\nna\x00\x00\x00\x00"), "f.yaml:2:3: found a byte of value 0: the file is written by halves or is no text")
	refused(t, "a cut letter", []byte(text[:len(text)-4]), "f.yaml:2:9: found the byte 0xC3")
	d, err := Parse("f.yaml", []byte("\uFEFF"+text))
	if err != nil || d.Name != "flöte" {
		t.Errorf("with the mark of UTF-8: %v, %v", d, err)
	}
}

// A file of which an editor has written only a part is refused, or it is a document
// that says less; no part of it is taken for something else.
func TestHalfWritten(t *testing.T) {
	text := []byte("swellbox: 1\nname: mine\nextends: violins\nvibrato: {onset_ms: 80, growth_ms: 500}\nsampler:\n  level: {controller: 7}\n")
	whole := 0
	for n := range text {
		d, err := Parse("f.yaml", text[:n])
		var ps Problems
		switch {
		case err == nil && !strings.HasPrefix("mine", d.Name):
			t.Errorf("%d bytes make the profile %q", n, d.Name)
		case err == nil:
			whole++
		case !errors.As(err, &ps):
			t.Errorf("%d bytes: %v, want Problems", n, err)
		}
	}
	if whole == 0 || whole > len(text)/2 {
		t.Errorf("%d of %d pieces are documents", whole, len(text))
	}
}

func TestManyBombs(t *testing.T) {
	const head = "swellbox: 1\nname: a\n"
	var laughs strings.Builder // ten entries, each ten times the one before
	laughs.WriteString(head + "a0: &a0 [x,x,x,x,x,x,x,x,x,x]\n")
	for i := range 9 {
		fmt.Fprintf(&laughs, "a%d: &a%d [%s*a%d]\n", i+1, i+1, strings.Repeat(fmt.Sprintf("*a%d,", i), 9), i)
	}
	for what, c := range map[string]struct{ text, want string }{
		"aliases":                         {laughs.String(), `an anchor (&"a0") is not allowed`},
		"an anchor in itself":             {head + "vibrato: &v [*v]\n", "is not allowed"},
		"a million keys":                  {head + strings.Repeat("k: 1\n", 1_000_000), "f.yaml: the file has 5000020 bytes, allowed are 1048576"},
		"as many keys as the size allows": {head + strings.Repeat("k: 1\n", (DocumentLimit-len(head))/5), `f.yaml:3:1: the key "k" is not known`},
		"deep lists":                      {head + "k: " + strings.Repeat("[", 1_000_000), "not readable as YAML: exceeded max depth"},
		"deep mappings":                   {head + "k: " + strings.Repeat("{a: ", 200_000), "not readable as YAML: exceeded max depth"},
		"deep and closed":                 {head + "k: " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000), "nested deeper than 16 levels"},
		"a long name":                     {"swellbox: 1\nname: " + strings.Repeat("x", 1_000_000), "name: found \"xxxx"},
		"a long key":                      {head + "\"" + strings.Repeat("x", 1000) + "\": 1", "the key \"xxxx"},
		"a merge":                         {head + "<<: {players: 3}\n", `the key "<<" is not known`},
		"a second document":               {head + "---\n" + head, "a second document begins here"},
	} {
		for kind, parse := range map[Kind]func([]byte) error{
			KindProfile:       func(b []byte) error { _, err := Parse("f.yaml", b); return err },
			KindSeating:       func(b []byte) error { _, err := ParseSeating("f.yaml", b); return err },
			KindControllerMap: func(b []byte) error { _, err := ParseControllerMap("f.yaml", b); return err },
		} {
			text := c.text
			if kind == KindSeating || kind == KindControllerMap {
				if what == "a long name" {
					continue
				}
			}
			err := parse([]byte(text))
			var ps Problems
			if !errors.As(err, &ps) || len(ps) > reading.ProblemLimit {
				t.Errorf("%s, %s: %d problems", what, kind, len(ps))
				continue
			}
			if !strings.Contains(err.Error(), c.want) {
				t.Errorf("%s, %s: %.300v\nwant %s", what, kind, err, c.want)
			}
			for _, p := range ps {
				if len(p.Error()) > 600 {
					t.Errorf("%s, %s: a problem of %d bytes", what, kind, len(p.Error()))
				}
			}
		}
	}
}

// Numbers that only a program would write, where a person writes decimal digits.
func TestOddNumbers(t *testing.T) {
	for _, n := range []string{
		".nan", ".NaN", "-.inf", ".inf", "+.Inf", "nan", "NaN", "inf", "Infinity", "1e308", "-1e308", "1e309", "1e-400", "0x1F", "0o17", "017x", "0b11",
		"1_000", "1,5", "1'000", "٣", "３", "½", "1 000", "12:30:45", "'3'", "\"3\"", "3 ms", "3ms", "~", "", "[3]", "{a: 3}", "true", "--3", "3-", "1e", "e3", ".", "-",
	} {
		for key, text := range map[string]string{
			"vibrato.onset_ms": "vibrato:\n  onset_ms: " + n, "players": "players: " + n, "variants[1].vibrato.amount": "variants:\n  - name: b\n    vibrato:\n      amount: " + n,
		} {
			if n == "1e-400" && key != "players" {
				continue // as good as 0, which is allowed
			}
			_, err := Parse("f.yaml", []byte("swellbox: 1\nname: a\n"+text+"\n"))
			var ps Problems
			if !errors.As(err, &ps) || len(ps) != 1 || n != "1'000" && !strings.Contains(err.Error(), key+": found ") && !strings.Contains(err.Error(), "not readable as YAML") {
				t.Errorf("%s of %s: %v", key, n, err)
			}
		}
	}
	for _, n := range []string{"3", "3.0", "+3", "3e0", "0.3e1", "03"} {
		d, err := Parse("f.yaml", []byte("swellbox: 1\nname: a\nplayers: "+n+"\n"))
		if err != nil {
			t.Errorf("players of %s: %v", n, err)
			continue
		}
		l := library(t)
		if p, err := l.with(d).Resolve("a"); err != nil || p.Players != 3 {
			t.Errorf("players of %s: %v, %v", n, p, err)
		}
	}
}

// What lies where a document should: each with one sentence, and none of it makes a
// reader wait or fill the memory.
func TestNotADocument(t *testing.T) {
	dir := t.TempDir()
	sparse := filepath.Join(dir, "sparse.yaml")
	f, err := os.Create(sparse)
	if err != nil {
		t.Fatal(err)
	}
	const size = 2 << 30
	if err := errors.Join(f.Truncate(size), f.Close()); err != nil {
		t.Skipf("no file of %d bytes can be made: %v", size, err)
	}
	folder := filepath.Join(dir, "folder.yaml")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		sparse:                            sparse + ": the file has 2147483648 bytes, allowed are 1048576",
		folder:                            folder + ": this is a folder, wanted is a file",
		filepath.Join(dir, "none.yaml"):   "cannot read the document: ",
		filepath.Join(dir, "no\x00.yaml"): "cannot read the document: ",
	} {
		readRefused(t, path, want)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	readRefused(t, sparse, "bytes")
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 1<<20 {
		t.Errorf("refusing a file of 2 GB took %d bytes", grown)
	}
}

func readRefused(t *testing.T, path, want string) {
	t.Helper()
	_, errAny := ReadFile(path)
	_, errSeating := ReadSeating(path)
	l := library(t)
	for what, err := range map[string]error{"ReadFile": errAny, "ReadSeating": errSeating, "AddFile": l.AddFile(path, Origin{})} {
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s of %q: %v\nwant one line with %s", what, path, err, want)
		}
	}
}

func TestSocketInPlaceOfADocument(t *testing.T) {
	dir, err := os.MkdirTemp("", "s") // the path of a socket is short
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "a.yaml")
	s, err := net.Listen("unix", path)
	if err != nil {
		t.Skipf("no socket can be made: %v", err)
	}
	defer s.Close()
	readRefused(t, path, path+": this is a device, a pipe or a socket, wanted is an ordinary file")
}

// A seating does not stand in for a profile, and the kinds are told apart by what they hold.
func TestReadFileTellsTheKinds(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"p.yaml": "{swellbox: 1, name: a}", "m.yaml": wellMapped, "s.yaml": orchestra} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := ReadFile(filepath.Join(dir, name))
		if err != nil || (f.Profile != nil) != (name == "p.yaml") || (f.ControllerMap != nil) != (name == "m.yaml") || (f.Seating != nil) != (name == "s.yaml") {
			t.Errorf("%s: %+v, %v", name, f, err)
		}
	}
	if err := library(t).AddFile(filepath.Join(dir, "s.yaml"), Origin{}); err == nil || !strings.Contains(err.Error(), "this is a seating, wanted is a profile or a controller map") {
		t.Errorf("a seating added: %v", err)
	}
	l := library(t)
	if err := l.AddFolder(dir, Origin{Kind: Own}); err != nil {
		t.Errorf("a folder of all kinds: %v", err)
	}
	if _, ok := l.LookupControllerMap("big-room"); !ok || len(l.Layers("a")) != 1 {
		t.Error("the folder's profile or controller map is not there")
	}
}

// A folder with more files than a library holds is left after the one that is too many.
func TestFolderFillsTheLibrary(t *testing.T) {
	dir := t.TempDir()
	for i := range documentsLimit + 5 {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("p%d.yaml", i)), fmt.Appendf(nil, "{swellbox: 1, name: p%d}", i), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	l := library(t)
	err := l.AddFolder(dir, Origin{Kind: Own})
	if err == nil || strings.Count(err.Error(), "\n") != 0 || !strings.Contains(err.Error(), "the library is full, it holds 1000 documents") {
		t.Errorf("%v", err)
	}
	if n := bytes.Count([]byte(strings.Join(l.Names(), "\n")), []byte("\n")) + 1; n != documentsLimit {
		t.Errorf("%d profiles, want %d", n, documentsLimit)
	}
}
