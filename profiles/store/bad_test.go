package store

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

func TestNames(t *testing.T) {
	s := open(t, t.TempDir())
	for _, name := range []string{
		"", ".", "..", "../out.yaml", "a/b.yaml", `a\b.yaml`, "/etc/x.yaml", "c:x.yaml", "x.yaml/", ".hidden.yaml", " x.yaml",
		"x.txt", "x", "x.yaml ", "con.yaml", "LPT1.old.yaml", "nul .yaml", "x\n.yaml", "x\x00.yaml", "x\xff.yaml", "x\u202e.yaml",
		strings.Repeat("x", nameLimit) + ".yaml", historyFolder,
	} {
		if _, err := s.Save(name, []byte("a: 1\n"), "", "Anna"); err == nil || !strings.Contains(err.Error(), "cannot be named") {
			t.Errorf("%q: %v", name, err)
		}
	}
	if left := visible(t, s.dir); len(left) > 0 {
		t.Errorf("the folder holds %q", left)
	}
	for _, name := range []string{"x.yaml", "Flöten 1.yml", "violins.old.yaml", strings.Repeat("x", nameLimit-5) + ".yaml"} {
		if _, err := s.Save(name, []byte("a: 1\n"), "", "Anna"); err != nil {
			t.Errorf("%q: %v", name, err)
		}
		if list, err := s.History(name); err != nil || len(list) != 1 {
			t.Errorf("%q has the history %v, %v", name, list, err)
		}
	}
}

func TestNamesInOtherCase(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	_, err := s.Save("Violins.YAML", []byte("a: 2\n"), "", "Anna")
	if err == nil {
		_, err = s.Save("Violins.yaml", []byte("a: 2\n"), "", "Anna")
	}
	if err == nil {
		t.Error("two documents differ in case alone")
	}
	_, err = s.Save("Violins.yaml", []byte("a: 2\n"), "", "Anna")
	if err == nil || !strings.Contains(err.Error(), "the folder has violins.yaml already") {
		t.Errorf("the error is %v", err)
	}
	holds(t, s.dir, doc, "a: 1\n")
}

func TestTooLong(t *testing.T) {
	s := open(t, t.TempDir())
	long := make([]byte, ContentLimit)
	if _, err := s.Save(doc, long, "", "Anna"); err != nil {
		t.Errorf("as long as allowed: %v", err)
	}
	if _, err := s.Save(doc, append(long, 'x'), HashOf(long), "Anna"); err == nil || !strings.Contains(err.Error(), "allowed are 1048576") {
		t.Errorf("a byte longer: %v", err)
	}
	f, err := os.Create(filepath.Join(s.dir, "big.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := f.Truncate(2 << 30); err != nil { // a file with a hole, which takes no room
		t.Fatal(err)
	}
	if _, err := s.Adopt("big.yaml", "Anna"); err == nil || !strings.Contains(err.Error(), "more than 1048576 bytes") {
		t.Errorf("2 GB: %v", err)
	}
}

// TestLinks neither reads nor replaces what lies elsewhere.
func TestLinks(t *testing.T) {
	s := open(t, t.TempDir())
	secret := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(secret, []byte("a: 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(secret, filepath.Join(s.dir, doc)); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	_, errAdopt := s.Adopt(doc, "Anna")
	_, errSave := s.Save(doc, []byte("a: 2\n"), HashOf([]byte("a: 1\n")), "Anna")
	for _, err := range []error{errAdopt, errSave} {
		if err == nil || !strings.Contains(err.Error(), "it is a symbolic link") {
			t.Errorf("the error is %v", err)
		}
	}
	holds(t, filepath.Dir(secret), "secret", "a: 1\n")
	if list, err := os.ReadDir(filepath.Join(s.dir, objectsFolder)); err == nil && len(list) > 0 {
		t.Error("the history holds what lies elsewhere")
	}

	// a history that leads out of the folder
	elsewhere := t.TempDir()
	s = open(t, t.TempDir())
	if err := os.Symlink(elsewhere, filepath.Join(s.dir, historyFolder)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Save(doc, []byte("a: 1\n"), "", "Anna"); err == nil || !strings.Contains(err.Error(), "is not a folder") {
		t.Errorf("a history that leads elsewhere: %v", err)
	}
	if left := visible(t, elsewhere); len(left) > 0 {
		t.Errorf("the other folder holds %q", left)
	}
	s = open(t, t.TempDir())
	if err := os.Mkdir(filepath.Join(s.dir, "folder.yaml"), 0o777); err != nil {
		t.Fatal(err)
	}
	if _, err := s.History("folder.yaml"); err == nil || !strings.Contains(err.Error(), "not a regular file") {
		t.Errorf("a folder: %v", err)
	}
}

// files lists the files of a part of the history.
func files(t *testing.T, s *Store, dir string) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(s.dir, dir, "*", "*"))
	if err != nil || len(list) == 0 {
		t.Fatalf("%s has no files: %v", dir, err)
	}
	return list
}

// TestDamaged finds what has been damaged, goes on with the rest, and heals what
// comes by again.
func TestDamaged(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Bert")
	object := filepath.Join(s.dir, objectPath(HashOf([]byte("a: 1\n"))))
	if err := os.WriteFile(object, []byte("a: 9\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{s.Check(), func() error { _, err := s.Back(doc, 1, "Anna"); return err }()} {
		if err == nil || !strings.Contains(err.Error(), "is damaged") {
			t.Errorf("the error is %v", err)
		}
	}
	holds(t, s.dir, doc, "a: 2\n")
	save(t, s, "a: 1\n", "a: 2\n", "Anna")
	sound(t, s)
	if err := os.Remove(object); err != nil {
		t.Fatal(err)
	}
	if err := s.Check(); err == nil || !strings.Contains(err.Error(), "lacks the content") {
		t.Errorf("a content is missing: %v", err)
	}
	for _, h := range []Hash{"", "..", "../../../../etc/passwd", Hash(strings.Repeat("g", 64)), Hash(strings.Repeat("A", 64)), Hash(strings.Repeat("a", 64))} {
		if b, err := s.Content(h); err == nil {
			t.Errorf("the content %q is %q", h, b)
		}
	}
}

// TestHalfAnEntry is what a copy that has not ended looks like, at every length.
func TestHalfAnEntry(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Bert")
	list, err := s.History(doc)
	if err != nil || len(list) != 2 {
		t.Fatal(list, err)
	}
	for _, file := range files(t, s, entriesFolder) {
		whole, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for n := range whole {
			if err := os.WriteFile(file, whole[:n], 0o666); err != nil {
				t.Fatal(err)
			}
			fresh := open(t, dir)
			if list, err := fresh.History(doc); err != nil || len(list) != 1 {
				t.Fatalf("%d bytes: %v, %v", n, list, err)
			}
			if err := fresh.Check(); err == nil || !strings.Contains(err.Error(), "is left out") {
				t.Fatalf("%d bytes: %v", n, err)
			}
		}
		if err := os.WriteFile(file, whole, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if again, err := open(t, dir).History(doc); err != nil || !slices.Equal(again, list) {
		t.Errorf("the history is %v, %v", again, err)
	}
}

// TestVanished is a drive that goes away in the middle of a save.
func TestVanished(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), "studio"))
	if err := os.Mkdir(s.dir, 0o777); err != nil {
		t.Fatal(err)
	}
	save(t, s, "a: 1\n", "", "Anna")
	s.beforeSwap = func() {
		if err := os.RemoveAll(s.dir); err != nil {
			t.Error(err)
		}
	}
	if _, err := s.Save(doc, []byte("a: 2\n"), HashOf([]byte("a: 1\n")), "Anna"); err == nil || !strings.HasPrefix(err.Error(), "cannot save violins.yaml in ") {
		t.Errorf("the error is %v", err)
	}
	if _, err := s.History(doc); err == nil || !strings.Contains(err.Error(), "is its drive connected?") {
		t.Errorf("the error is %v", err)
	}
}

// TestStaleLock breaks the lock of somebody who is gone, and waits for one who works.
func TestStaleLock(t *testing.T) {
	s := open(t, t.TempDir())
	save(t, s, "a: 1\n", "", "Anna")
	lock := filepath.Join(s.dir, locksFolder, doc)
	hold := func(token string) {
		if err := os.WriteFile(lock, []byte(token), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	hold("somebody")
	var waited time.Duration
	s.pause = func(d time.Duration) { waited += d }
	save(t, s, "a: 2\n", "a: 1\n", "Anna")
	if waited < patience || waited > patience+2*longest {
		t.Errorf("waited %v for a lock that nobody holds, want %v", waited, patience)
	}
	sound(t, s)

	token := "0"
	hold(token)
	waited = 0
	s.pause = func(d time.Duration) { // one saves after another, and each within a second
		if waited += d; waited > longestAll+time.Minute {
			t.Fatal("waits for ever")
		}
		if now := fmt.Sprint(int(waited.Seconds())); now != token {
			token = now
			hold(token)
		}
	}
	if _, err := s.Save(doc, []byte("a: 3\n"), HashOf([]byte("a: 2\n")), "Anna"); err == nil || !strings.Contains(err.Error(), "others have been saving it for 2m0s") {
		t.Errorf("the error is %v", err)
	}
	holds(t, s.dir, doc, "a: 2\n")
}

// TestLockOfAnother gives a lock back that was made while a stale one was broken.
func TestLockOfAnother(t *testing.T) {
	s := open(t, t.TempDir())
	root, err := s.root()
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	if err := prepare(root); err != nil {
		t.Fatal(err)
	}
	name := locksFolder + "/" + doc
	if err := makeLock(root, name, "fresh"); err != nil {
		t.Fatal(err)
	}
	breakLock(root, name, "stale")
	holds(t, s.dir, name, "fresh")
	releaseLock(root, name, "another's")
	holds(t, s.dir, name, "fresh")
	breakLock(root, name, "fresh")
	sound(t, s)
	breakLock(root, name, "fresh") // somebody else was quicker
}

// TestAuthors keeps any name on its line.
func TestAuthors(t *testing.T) {
	s := open(t, t.TempDir())
	for i, c := range []struct{ by, want Author }{
		{"Anna\nplace aside", "Anna place aside"}, {"  ", ""}, {"\x00\xff\u2028", ""}, {"Zoë 音", "Zoë 音"},
		{Author(strings.Repeat("ö", authorLimit)), Author(strings.Repeat("ö", authorLimit/2))},
	} {
		name := fmt.Sprintf("%d.yaml", i)
		if _, err := s.SaveNoted(name, []byte("a: 1\n"), "", c.by, "one\ntwo"); err != nil {
			t.Fatal(err)
		}
		if list, err := s.History(name); err != nil || len(list) != 1 || list[0].Author != c.want || list[0].Note != "one two" {
			t.Errorf("%q became %+v, %v", c.by, list, err)
		}
	}
}

// TestTooManyChanges has a history as long as one may be, and longer.
func TestTooManyChanges(t *testing.T) {
	s := open(t, t.TempDir())
	if s.most != changesLimit {
		t.Errorf("a history has at most %d changes, want %d", s.most, changesLimit)
	}
	s.most = 2
	save(t, s, "a: 1\n", "", "Anna")
	save(t, s, "a: 2\n", "a: 1\n", "Anna")
	if list, err := s.History(doc); err != nil || len(list) != 2 {
		t.Errorf("the history is %v, %v", list, err)
	}
	s.most = 1
	for _, err := range []error{
		func() error { _, err := s.History(doc); return err }(),
		func() error { _, err := s.Save(doc, nil, "", "Anna"); return err }(),
	} {
		if err == nil || !strings.Contains(err.Error(), "more than 1 changes; move the folder .history/entries/violins.yaml away") {
			t.Errorf("the error is %v", err)
		}
	}
	holds(t, s.dir, doc, "a: 2\n")
}

func TestNoFolder(t *testing.T) {
	if _, err := Open("", Options{}); err == nil {
		t.Error("a store without a folder")
	}
	if _, err := open(t, filepath.Join(t.TempDir(), "none")).Content(HashOf(nil)); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the error is %v", err)
	}
}
