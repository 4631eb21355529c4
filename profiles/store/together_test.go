package store

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// lines is a document with one line for each writer, at the values given.
func lines(values []int) string {
	var b strings.Builder
	for i, v := range values {
		fmt.Fprintf(&b, "key_%02d: %d\n", i, v)
	}
	return b.String()
}

// writer saves n times, each time a new value of its own key, from what it read last.
// conflicts says whether there may be any.
func writer(s *Store, me, n int, conflicts bool) error {
	path := filepath.Join(s.dir, doc)
	for i := 1; i <= n; i++ {
		base, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if len(base) == 0 || base[len(base)-1] != '\n' {
			return fmt.Errorf("the document is not whole: %q", base)
		}
		key := fmt.Sprintf("key_%02d: ", me)
		before, rest, ok := strings.Cut(string(base), key)
		_, after, ok2 := strings.Cut(rest, "\n")
		if !ok || !ok2 {
			return fmt.Errorf("the document lost %s: %q", key, base)
		}
		content := fmt.Sprintf("%s%s%d\n%s", before, key, i, after)
		if _, err := s.SaveNoted(doc, []byte(content), HashOf(base), Author(fmt.Sprint("writer ", me)), fmt.Sprint(key, i)); err != nil {
			if _, conflict := errors.AsType[*ConflictError](err); !conflict || !conflicts {
				return err
			}
		}
	}
	return nil
}

// together checks what is left when writers have each saved n times.
func together(t *testing.T, s *Store, writers, n int) {
	t.Helper()
	holds(t, s.dir, doc, lines(slices.Repeat([]int{n}, writers)))
	if names := visible(t, s.dir); !slices.Equal(names, []string{doc}) {
		t.Errorf("the folder holds %q", names)
	}
	list, err := s.History(doc)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, v := range list {
		found[v.Note] = true
		b, err := s.Content(v.Hash)
		if err != nil {
			t.Fatal(err)
		}
		if v.Note == outside {
			continue
		}
		if key, value, ok := strings.Cut(v.Note, ": "); ok && !strings.Contains(string(b), key+": "+value+"\n") {
			t.Errorf("the version %q holds %q", v.Note, b)
		}
	}
	for w := range writers {
		for i := 1; i <= n; i++ {
			if !found[fmt.Sprintf("key_%02d: %d", w, i)] {
				t.Errorf("the version %d of writer %d is lost", i, w)
			}
		}
	}
	sound(t, s)
}

// TestStoresTogether is what programs on several machines do with one drive.
func TestStoresTogether(t *testing.T) {
	const writers, saves = 8, 6
	dir := t.TempDir()
	write(t, dir, doc, lines(make([]int, writers)))
	if _, err := open(t, dir).Adopt(doc, "Anna"); err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for w := range writers {
		s, err := Open(dir, Options{Merge: byLine})
		if err != nil {
			t.Fatal(err)
		}
		all.Go(func() {
			if err := writer(s, w, saves, false); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	together(t, open(t, dir), writers, saves)
}

// TestOneStoreTogether shares a store among goroutines.
func TestOneStoreTogether(t *testing.T) {
	const writers, saves = 8, 6
	s, err := Open(t.TempDir(), Options{Merge: byLine})
	if err != nil {
		t.Fatal(err)
	}
	write(t, s.dir, doc, lines(make([]int, writers)))
	if _, err := s.Adopt(doc, "Anna"); err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			if err := writer(s, w, saves, false); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	together(t, s, writers, saves)
}

// TestWithoutLocks is a drive on which a lock keeps nobody out: all break it at once.
func TestWithoutLocks(t *testing.T) {
	const writers, saves = 6, 5
	dir := t.TempDir()
	write(t, dir, doc, lines(make([]int, writers)))
	if _, err := open(t, dir).Adopt(doc, "Anna"); err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for w := range writers {
		s, err := Open(dir, Options{Merge: byLine})
		if err != nil {
			t.Fatal(err)
		}
		lock := filepath.Join(dir, locksFolder, doc)
		s.pause = func(time.Duration) { _ = os.Remove(lock) }
		s.beforeSwap = func() {
			if rand.IntN(2) == 0 {
				_ = os.Remove(lock)
			}
		}
		all.Go(func() {
			if err := writer(s, w, saves, true); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	s := open(t, dir)
	content, err := os.ReadFile(filepath.Join(dir, doc))
	if err != nil {
		t.Fatal(err)
	}
	// what two finished at once, the next save merges
	save(t, s, string(content)+"last: 1\n", string(content), "Anna")
	list, err := s.History(doc)
	if err != nil {
		t.Fatal(err)
	}
	for w := range writers {
		for i := 1; i <= saves; i++ {
			note := fmt.Sprintf("key_%02d: %d", w, i)
			if !slices.ContainsFunc(list, func(v Version) bool { return v.Note == note }) {
				t.Errorf("the version %q is lost", note)
			}
		}
	}
	if err := s.Check(); err != nil {
		t.Error(err)
	}
}

const childFolder, childNumber = "SWELLBOX_STORE_FOLDER", "SWELLBOX_STORE_WRITER"

const processes, savesEach = 6, 5

// TestProcess is one of the processes of TestProcessesTogether.
func TestProcess(t *testing.T) {
	dir := os.Getenv(childFolder)
	if dir == "" {
		t.Skip("it is run by TestProcessesTogether")
	}
	var me int
	if _, err := fmt.Sscan(os.Getenv(childNumber), &me); err != nil {
		t.Fatal(err)
	}
	s, err := Open(dir, Options{Merge: byLine})
	if err != nil {
		t.Fatal(err)
	}
	if err := writer(s, me, savesEach, false); err != nil {
		t.Fatal(err)
	}
}

func TestProcessesTogether(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, doc, lines(make([]int, processes)))
	if _, err := open(t, dir).Adopt(doc, "Anna"); err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for i := range processes {
		c := exec.CommandContext(t.Context(), os.Args[0], "-test.run=^TestProcess$")
		c.Env = append(os.Environ(), childFolder+"="+dir, fmt.Sprint(childNumber, "=", i))
		all.Go(func() {
			if out, err := c.CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
	all.Wait()
	together(t, open(t, dir), processes, savesEach)
}

// TestReaders never find half a document, nor none, while it is saved.
func TestReaders(t *testing.T) {
	s := open(t, t.TempDir())
	text := func(i int) string { return strings.Repeat(fmt.Sprintf("a: %d\n", i), 2000) }
	save(t, s, text(0), "", "Anna")
	done := make(chan struct{})
	var all sync.WaitGroup
	all.Go(func() {
		for {
			select {
			case <-done:
				return
			default:
			}
			b, err := os.ReadFile(filepath.Join(s.dir, doc))
			first, _, _ := strings.Cut(string(b), "\n")
			if err != nil || string(b) != strings.Repeat(first+"\n", 2000) || first == "" {
				t.Errorf("a reader found %d bytes, %v", len(b), err)
				return
			}
		}
	})
	for i := range 50 {
		save(t, s, text(i+1), text(i), "Anna")
	}
	close(done)
	all.Wait()
}

// TestNothingIsLost does any sequence of saves, editor's writes, removals and steps
// back by any of three programs, and finds all that was ever written in the history.
func TestNothingIsLost(t *testing.T) {
	top := t.TempDir()
	run := 0
	rapid.Check(t, func(t *rapid.T) {
		run++
		dir := filepath.Join(top, fmt.Sprint(run))
		if err := os.Mkdir(dir, 0o777); err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		now := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
		var stores [3]*Store
		for i := range stores {
			var err error
			stores[i], err = Open(dir, Options{Merge: byLine, Now: func() time.Time { return now }})
			if err != nil {
				t.Fatal(err)
			}
		}
		path := filepath.Join(dir, doc)
		value := rapid.Custom(func(t *rapid.T) string {
			return fmt.Sprintf("a: %d\nb: %d\n", rapid.IntRange(0, 3).Draw(t, "a"), rapid.IntRange(0, 3).Draw(t, "b"))
		})
		written := map[string]bool{}
		var bases [3]Hash // what each program read last
		onDisk := func() string {
			b, err := os.ReadFile(path)
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
			return string(b)
		}
		who := rapid.IntRange(0, 2)
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			now = now.Add(time.Duration(rapid.IntRange(-100, 100).Draw(t, "clock")) * time.Minute)
			i := who.Draw(t, "who")
			s := stores[i]
			by := Author(fmt.Sprint("writer ", i))
			var err error
			switch rapid.SampledFrom([]string{"read", "save", "save", "save", "editor", "remove", "back"}).Draw(t, "step") {
			case "read":
				if bases[i], err = s.Adopt(doc, by); errors.Is(err, fs.ErrNotExist) {
					bases[i], err = "", nil
				}
			case "save":
				content := value.Draw(t, "content")
				written[content] = true
				_, err = s.Save(doc, []byte(content), bases[i], by)
			case "editor":
				if old := onDisk(); old != "" {
					written[old] = true
					if _, err := s.Adopt(doc, ""); err != nil { // the daemon sees each change
						t.Fatal(err)
					}
				}
				err = os.WriteFile(path, []byte(value.Draw(t, "content")), 0o666)
			case "remove":
				if onDisk() != "" {
					if _, err = s.Adopt(doc, ""); err == nil {
						err = os.Remove(path)
					}
				}
			case "back":
				var list []Version
				if list, err = s.History(doc); err == nil && len(list) > 0 {
					_, err = s.Back(doc, rapid.IntRange(1, len(list)).Draw(t, "version"), by)
				}
			}
			if _, conflict := errors.AsType[*ConflictError](err); err != nil && !conflict {
				t.Fatal(err)
			}
			if now := onDisk(); now != "" {
				written[now] = true
			}
		}
		s := stores[0]
		if onDisk() != "" {
			if _, err := s.Adopt(doc, ""); err != nil {
				t.Fatal(err)
			}
		}
		list, err := s.History(doc)
		if err != nil {
			t.Fatal(err)
		}
		for content := range written {
			if !slices.ContainsFunc(list, func(v Version) bool { return v.Hash == HashOf([]byte(content)) }) {
				t.Fatalf("%q is lost", content)
			}
		}
		if disk := onDisk(); disk != "" {
			current := slices.IndexFunc(list, func(v Version) bool { return v.Current })
			if current < 0 || list[current].Hash != HashOf([]byte(disk)) {
				t.Fatalf("the current version is %d of %+v", current+1, list)
			}
		}
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
	})
}
