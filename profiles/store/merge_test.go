package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestMerged(t *testing.T) {
	s := open(t, t.TempDir())
	base := "a: 1\nb: 1\n"
	save(t, s, base, "", "Anna")
	save(t, s, "a: 1\nb: 2\n", base, "Bert")
	saved := save(t, s, "a: 2\nb: 1\n", base, "Cleo")
	if !slices.Equal(saved.Merged, []Author{"Bert"}) || saved.Hash != HashOf([]byte("a: 2\nb: 2\n")) {
		t.Errorf("saved %+v", saved)
	}
	holds(t, s.dir, doc, "a: 2\nb: 2\n")
	expect(t, told(t, s, doc),
		`Anna, saved: "a: 1\nb: 1\n"`, `Bert, saved: "a: 1\nb: 2\n"`, `Cleo, saved: "a: 2\nb: 1\n"`,
		`Cleo, merged with the change of Bert: "a: 2\nb: 2\n" current`)
	sound(t, s)
}

func TestConflict(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Bert")
	for range 2 { // trying again does no more harm
		_, err := s.Save(doc, []byte("a: 3\n"), HashOf([]byte("a: 1\n")), "Cleo D/E")
		c, ok := errors.AsType[*ConflictError](err)
		if !ok {
			t.Fatalf("the error is %v", err)
		}
		if !slices.Equal(c.Keys, []string{"a"}) || c.Kept != "Bert" || c.Aside != "Cleo D/E" {
			t.Errorf("the conflict is %+v", c)
		}
		want := "violins.yaml.conflict-cleo-d-e-" + string(HashOf([]byte("a: 3\n"))[:8])
		if c.Beside != want || !strings.Contains(err.Error(), want) {
			t.Errorf("kept as %s, want %s, in the error %v", c.Beside, want, err)
		}
		holds(t, s.dir, doc, "a: 2\n")
		holds(t, s.dir, want, "a: 3\n")
	}
	expect(t, told(t, s, doc)[:3], `Anna, saved: "a: 1\n"`, `Bert, saved: "a: 2\n" current`, `Cleo D/E, saved: "a: 3\n" aside`)
	save(t, s, "a: 4\n", "a: 2\n", "Bert") // what is kept aside is not merged again
	holds(t, s.dir, doc, "a: 4\n")
	sound(t, s)
}

// TestNoBase is a conflict: nobody knows what was changed.
func TestNoBase(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	for _, base := range []Hash{"", HashOf([]byte("never seen"))} {
		_, err := s.Save(doc, []byte("b: 1\n"), base, "Bert")
		if c, ok := errors.AsType[*ConflictError](err); !ok || len(c.Keys) > 0 {
			t.Errorf("from %q: %v", base, err)
		}
	}
	holds(t, s.dir, doc, "a: 1\n")
}

// TestPastTheLock has somebody write the document at the last moment: before it
// is looked at for the last time, and between that and the exchange.
func TestPastTheLock(t *testing.T) {
	const base, ours = "a: 1\nb: 1\n", "a: 2\nb: 1\n"
	for _, c := range []struct {
		name, theirs, want string
		conflict           bool
	}{
		{"merged", "a: 1\nb: 7\n", "a: 2\nb: 7\n", false},
		{"conflict", "a: 7\nb: 1\n", "a: 7\nb: 1\n", true},
	} {
		for moment := 1; moment <= 2; moment++ {
			t.Run(fmt.Sprint(c.name, moment), func(t *testing.T) {
				s := open(t, t.TempDir())
				save(t, s, base, "", "Anna")
				looks := 0
				s.beforeSwap = func() {
					if looks++; looks == moment {
						write(t, s.dir, doc+"~", c.theirs)
						if err := os.Rename(filepath.Join(s.dir, doc+"~"), filepath.Join(s.dir, doc)); err != nil {
							t.Error(err)
						}
					}
				}
				if moment == 2 && runtime.GOOS != "linux" {
					t.Skip("only Linux exchanges two files")
				}
				_, err := s.Save(doc, []byte(ours), HashOf([]byte(base)), "Anna")
				if _, is := errors.AsType[*ConflictError](err); is != c.conflict || err != nil && !is {
					t.Errorf("the error is %v", err)
				}
				want := c.want
				if c.conflict && moment == 2 {
					want = ours // it stood in the document already; theirs is kept beside it
				}
				holds(t, s.dir, doc, want)
				if beside := visible(t, s.dir); len(beside) != 1 && !c.conflict {
					t.Errorf("the folder holds %q", beside)
				}
				for _, text := range []string{c.theirs, ours} {
					if !slices.ContainsFunc(told(t, s, doc), func(l string) bool { return strings.Contains(l, fmt.Sprintf("%q", text)) }) {
						t.Errorf("%q is lost: %q", text, told(t, s, doc))
					}
				}
				sound(t, s)
			})
		}
	}
}

// TestWithoutExchange is a drive on which two files cannot change places.
func TestWithoutExchange(t *testing.T) {
	s := open(t, t.TempDir())
	s.exchange = func(*os.Root, string, string) error { return errors.ErrUnsupported }
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Bert")
	holds(t, s.dir, doc, "a: 2\n")
	expect(t, told(t, s, doc), `Anna, saved: "a: 1\n"`, `Bert, saved: "a: 2\n" current`)
	sound(t, s)
}

// TestBranches merges what another machine saved at the same time, whose history
// arrives later, as with git.
func TestBranches(t *testing.T) {
	here, there := open(t, t.TempDir()), open(t, t.TempDir())
	base := "a: 1\nb: 1\n"
	save(t, here, base, "", "Anna")
	if err := os.CopyFS(there.dir, os.DirFS(here.dir)); err != nil {
		t.Fatal(err)
	}
	save(t, here, "a: 2\nb: 1\n", base, "Anna")
	save(t, there, "a: 1\nb: 2\n", base, "Bert")
	bring(t, there, here)
	saved := save(t, here, "a: 3\nb: 1\n", "a: 2\nb: 1\n", "Anna")
	if !slices.Equal(saved.Merged, []Author{"Bert"}) {
		t.Errorf("saved %+v", saved)
	}
	holds(t, here.dir, doc, "a: 3\nb: 2\n")
	sound(t, here)
}

// TestHalfArrived goes on saving while another machine's change is there without its
// content, and merges it when that has come.
func TestHalfArrived(t *testing.T) {
	here, there := open(t, t.TempDir()), open(t, t.TempDir())
	base := "a: 1\nb: 1\n"
	save(t, here, base, "", "Anna")
	if err := os.CopyFS(there.dir, os.DirFS(here.dir)); err != nil {
		t.Fatal(err)
	}
	theirs := "a: 1\nb: 2\n"
	save(t, there, theirs, base, "Bert")
	object := objectPath(HashOf([]byte(theirs)))
	late := filepath.Join(t.TempDir(), "late")
	if err := os.Rename(filepath.Join(there.dir, object), late); err != nil {
		t.Fatal(err)
	}
	bring(t, there, here)
	if saved := save(t, here, "a: 2\nb: 1\n", base, "Anna"); len(saved.Merged) > 0 {
		t.Errorf("saved %+v", saved)
	}
	holds(t, here.dir, doc, "a: 2\nb: 1\n")
	if err := os.Rename(late, filepath.Join(here.dir, object)); err != nil {
		t.Fatal(err)
	}
	if saved := save(t, here, "a: 3\nb: 1\n", "a: 2\nb: 1\n", "Anna"); !slices.Equal(saved.Merged, []Author{"Bert"}) {
		t.Errorf("saved %+v", saved)
	}
	holds(t, here.dir, doc, "a: 3\nb: 2\n")
	sound(t, here)
}

// TestSetBackByEditor is a change that somebody undoes in an editor: it stays undone.
func TestSetBackByEditor(t *testing.T) {
	s := open(t, t.TempDir())
	first, second := "a: 1\nb: 1\n", "a: 2\nb: 1\n"
	save(t, s, first, "", "Anna")
	save(t, s, second, first, "Anna")
	write(t, s.dir, doc, first)
	later := time.Now().Add(time.Second) // that of a file system may tick slowly
	if err := os.Chtimes(filepath.Join(s.dir, doc), later, later); err != nil {
		t.Fatal(err)
	}
	save(t, s, "a: 1\nb: 5\n", first, "Bert")
	holds(t, s.dir, doc, "a: 1\nb: 5\n")
	expect(t, told(t, s, doc),
		`Anna, saved: "a: 1\nb: 1\n"`, `Anna, saved: "a: 2\nb: 1\n"`,
		`, changed outside swellbox: "a: 1\nb: 1\n"`, `Bert, saved: "a: 1\nb: 5\n" current`)
	sound(t, s)
}

// TestDied is a program that dies between the history and the document: the next
// one that saves brings its change in.
func TestDied(t *testing.T) {
	s := open(t, t.TempDir())
	base := "a: 1\nb: 1\n"
	save(t, s, base, "", "Anna")
	early := time.Now().Add(-time.Minute)
	if err := os.Chtimes(filepath.Join(s.dir, doc), early, early); err != nil {
		t.Fatal(err)
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the program lives")
			}
		}()
		s.beforeSwap = func() { panic("power") }
		_, _ = s.Save(doc, []byte("a: 2\nb: 1\n"), HashOf([]byte(base)), "Bert")
	}()
	holds(t, s.dir, doc, base)
	s = open(t, s.dir)
	if saved := save(t, s, "a: 1\nb: 2\n", base, "Cleo"); !slices.Equal(saved.Merged, []Author{"Bert"}) {
		t.Errorf("saved %+v", saved)
	}
	holds(t, s.dir, doc, "a: 2\nb: 2\n")
	sound(t, s)
}

// bring copies the files of a history that another does not have, as git merges them.
func bring(t *testing.T, there, here *Store) {
	t.Helper()
	err := filepath.WalkDir(filepath.Join(there.dir, historyFolder), func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(there.dir, path)
		to := filepath.Join(here.dir, rel)
		if e.IsDir() {
			return os.MkdirAll(to, 0o777)
		}
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if old, err := os.ReadFile(to); err == nil && !bytes.Equal(old, b) {
			t.Errorf("two machines wrote %s", rel)
		}
		return os.WriteFile(to, b, 0o666)
	})
	if err != nil {
		t.Fatal(err)
	}
}
