package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

const doc = "violins.yaml"

// clock is a clock that goes on by a second at each look.
type clock struct{ now time.Time }

func (c *clock) tick() time.Time {
	c.now = c.now.Add(time.Second)
	return c.now
}

func newClock() *clock { return &clock{time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)} }

// byLine merges documents of lines "key: value", key by key.
func byLine(base, ours, theirs []byte) ([]byte, []string, error) {
	read := func(b []byte) (map[string]string, []string) {
		m, order := map[string]string{}, []string(nil)
		for line := range strings.Lines(string(b)) {
			key, _, _ := strings.Cut(line, ":")
			m[key] = line
			order = append(order, key)
		}
		return m, order
	}
	b, _ := read(base)
	o, orderO := read(ours)
	t, orderT := read(theirs)
	var out strings.Builder
	var conflicts []string
	for _, key := range slices.Compact(slices.Sorted(slices.Values(append(orderO, orderT...)))) {
		switch {
		case o[key] == t[key] || t[key] == b[key]:
			out.WriteString(o[key])
		case o[key] == b[key]:
			out.WriteString(t[key])
		default:
			conflicts = append(conflicts, key)
		}
	}
	if len(conflicts) > 0 {
		return nil, conflicts, nil
	}
	return []byte(out.String()), nil, nil
}

func open(t *testing.T, dir string) *Store {
	t.Helper()
	s, err := Open(dir, Options{Merge: byLine, Now: newClock().tick})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func save(t *testing.T, s *Store, content, base string, by Author) Saved {
	t.Helper()
	h := Hash("")
	if base != "" {
		h = HashOf([]byte(base))
	}
	saved, err := s.Save(doc, []byte(content), h, by)
	if err != nil {
		t.Fatal(err)
	}
	return saved
}

func write(t *testing.T, dir, name, content string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o666); err != nil {
		t.Fatal(err)
	}
}

func holds(t *testing.T, dir, name, want string) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil || string(b) != want {
		t.Errorf("%s holds %q, %v; want %q", name, b, err, want)
	}
}

// told is a history in words: author, note and content of each version.
func told(t *testing.T, s *Store, name string) []string {
	t.Helper()
	list, err := s.History(name)
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	for i, v := range list {
		b, err := s.Content(v.Hash)
		if err != nil {
			t.Fatal(err)
		}
		if v.N != i+1 || v.Size != len(b) || HashOf(b) != v.Hash {
			t.Errorf("version %d is %+v, its content has %d bytes", i+1, v, len(b))
		}
		mark := ""
		if v.Aside {
			mark = " aside"
		}
		if v.Current {
			mark = " current"
		}
		lines = append(lines, fmt.Sprintf("%s, %s: %q%s", v.Author, v.Note, b, mark))
	}
	return lines
}

func expect(t *testing.T, got []string, want ...string) {
	t.Helper()
	if !slices.Equal(got, want) {
		t.Errorf("the history is\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// visible are the names in a folder of documents, without the history.
func visible(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if e.Name() != historyFolder {
			names = append(names, e.Name())
		}
	}
	return names
}

func sound(t *testing.T, s *Store) {
	t.Helper()
	if err := s.Check(); err != nil {
		t.Errorf("the history is not sound: %v", err)
	}
	for _, dir := range []string{locksFolder, stagedFolder} {
		if left, err := os.ReadDir(filepath.Join(s.dir, dir)); err != nil || len(left) > 0 {
			t.Errorf("%s holds %v, %v; want nothing", dir, left, err)
		}
	}
}

func TestSaveAndBack(t *testing.T) {
	s := open(t, t.TempDir())
	if list, err := s.History(doc); err != nil || len(list) > 0 {
		t.Errorf("an empty folder has the history %v, %v", list, err)
	}
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Bert")
	if saved := save(t, s, "a: 2\n", "a: 2\n", "Bert"); !saved.Unchanged {
		t.Error("saving the same again was a change")
	}
	holds(t, s.dir, doc, "a: 2\n")
	if _, err := s.Back(doc, 1, "Cleo"); err != nil {
		t.Fatal(err)
	}
	holds(t, s.dir, doc, "a: 1\n")
	expect(t, told(t, s, doc),
		`Anna, saved: "a: 1\n"`, `Bert, saved: "a: 2\n"`, `Cleo, back to version 1: "a: 1\n" current`)
	for _, n := range []int{0, 4, -1} {
		if _, err := s.Back(doc, n, "Cleo"); err == nil || !strings.Contains(err.Error(), "there are 3") {
			t.Errorf("back to version %d: %v", n, err)
		}
	}
	sound(t, s)
}

// TestOutside takes in what an editor wrote before it is replaced.
func TestOutside(t *testing.T) {
	s := open(t, t.TempDir())
	write(t, s.dir, doc, "a: 1\nb: 1\n")
	save(t, s, "a: 2\nb: 1\n", "a: 1\nb: 1\n", "Anna")
	write(t, s.dir, doc, "a: 2\nb: 3\n")
	for range 2 { // the second time there is nothing to take in
		if h, err := s.Adopt(doc, "Bert"); err != nil || h != HashOf([]byte("a: 2\nb: 3\n")) {
			t.Fatalf("adopted %s, %v", h, err)
		}
	}
	write(t, s.dir, doc, "a: 2\nb: 4\n")
	if _, err := s.Back(doc, 1, "Anna"); err != nil {
		t.Fatal(err)
	}
	expect(t, told(t, s, doc),
		`, changed outside swellbox: "a: 1\nb: 1\n"`, `Anna, saved: "a: 2\nb: 1\n"`,
		`Bert, changed outside swellbox: "a: 2\nb: 3\n"`, `, changed outside swellbox: "a: 2\nb: 4\n"`,
		`Anna, back to version 1: "a: 1\nb: 1\n" current`)
	sound(t, s)
	if _, err := s.Adopt("none.yaml", ""); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("adopting nothing: %v", err)
	}
}

// TestDeleted brings a document back that somebody removed.
func TestDeleted(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	if err := os.Remove(filepath.Join(s.dir, doc)); err != nil {
		t.Fatal(err)
	}
	expect(t, told(t, s, doc), `Anna, saved: "a: 1\n"`)
	if _, err := s.Back(doc, 1, "Bert"); err != nil {
		t.Fatal(err)
	}
	holds(t, s.dir, doc, "a: 1\n")
	expect(t, told(t, s, doc), `Anna, saved: "a: 1\n"`, `Bert, back to version 1: "a: 1\n" current`)
}

// TestClockSetBack keeps the order in which versions rest on each other.
func TestClockSetBack(t *testing.T) {
	var now time.Time
	s, err := Open(t.TempDir(), Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	last := ""
	for i, year := range []int{2026, 2025, 1970, 1970, -5, 2200, 20000, 2026} {
		now = time.Date(year, 3, 1, 12, 0, 0, 0, time.UTC)
		content := fmt.Sprintf("a: %d\n", i)
		save(t, s, content, last, "Anna")
		last = content
		want = append(want, fmt.Sprintf("Anna, saved: %q", content))
	}
	want[len(want)-1] += " current"
	expect(t, told(t, s, doc), want...)
}

func TestPermissionsKept(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	path := filepath.Join(s.dir, doc)
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	save(t, s, "a: 2\n", "a: 1\n", "Anna")
	if info, err := os.Stat(path); err != nil || info.Mode() != 0o640 {
		t.Errorf("the document has %v, %v; want 0640", info.Mode(), err)
	}
}

// TestSharedFolder lets all write to the history who may write to the documents.
func TestSharedFolder(t *testing.T) {
	s := open(t, t.TempDir())
	if err := os.Chmod(s.dir, 0o777); err != nil {
		t.Fatal(err)
	}
	save(t, s, "a: 1\n", "", "Anna")
	folders := 0
	err := filepath.WalkDir(s.dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || !e.IsDir() {
			return err
		}
		folders++
		if info, err := e.Info(); err != nil || info.Mode().Perm() != 0o777 {
			t.Errorf("%s has %v, %v", path, info.Mode(), err)
		}
		return nil
	})
	if err != nil || folders < 6 {
		t.Errorf("%d folders, %v", folders, err)
	}
}

func TestMakeFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new", "profiles")
	if _, err := open(t, dir).Save(doc, []byte("a: 1\n"), "", "Anna"); !errors.Is(err, fs.ErrNotExist) || !strings.Contains(err.Error(), "is its drive connected?") {
		t.Errorf("a folder that is not there: %v", err)
	}
	s, err := Open(dir, Options{MakeFolder: true})
	if err != nil {
		t.Fatal(err)
	}
	save(t, s, "a: 1\n", "", "Anna")
	holds(t, dir, doc, "a: 1\n")
}
