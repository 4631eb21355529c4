package live

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// patience is how long a test waits for what takes a tenth of a second when the
// machine is idle. It bounds a failure and slows no success.
const patience = 2 * time.Minute

func await(t *testing.T, what string, c <-chan struct{}) {
	t.Helper()
	select {
	case <-c:
	case <-time.After(patience): // only a hang meets it
		t.Fatalf("%s: not noticed", what)
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestFolderWatch(t *testing.T) {
	for name, deaf := range map[string]bool{"told by the system": false, "by looking": true} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file := filepath.Join(dir, "violins.yaml")
			later := filepath.Join(dir, "later")
			write(t, file, "one")
			changed := make(chan struct{}, 100)
			w := WatchFolders(func() []string { return []string{dir, later} }, func() { changed <- struct{}{} })
			defer w.Close()
			if deaf {
				w.notify.Close() // what a network drive is like: it takes the wish and never tells
			}

			write(t, file, "two")
			await(t, "a file written in place", changed)

			write(t, file+"~", "six")
			if err := os.Rename(file+"~", file); err != nil {
				t.Fatal(err)
			}
			await(t, "a file replaced by renaming, of the same length", changed)

			if err := os.Remove(file); err != nil {
				t.Fatal(err)
			}
			await(t, "a file removed", changed)

			if err := os.Mkdir(later, 0o755); err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(later, "oboe.yaml"), "one")
			await(t, "a file in a folder that came later", changed)

			if err := os.RemoveAll(later); err != nil {
				t.Fatal(err)
			}
			await(t, "a folder removed", changed)
			if err := os.Mkdir(later, 0o755); err != nil {
				t.Fatal(err)
			}
			write(t, filepath.Join(later, "oboe.yaml"), "two")
			await(t, "a file in a folder that came back", changed)
		})
	}
}

// Two saves of one length within the coarsest clock's tick differ by their content.
func TestFolderWatchWithACoarseClock(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "violins.yaml")
	w := &FolderWatch{folders: func() []string { return []string{dir} }, changed: func() {}, told: map[string]bool{}}
	at := time.Now().Truncate(2 * time.Second)
	stamp := func(text string) map[string]stamp {
		write(t, file, text)
		if err := os.Chtimes(file, at, at); err != nil {
			t.Fatal(err)
		}
		return w.look(nil)
	}
	one, again, two := stamp("one"), stamp("one"), stamp("two")
	if one[file] != again[file] {
		t.Error("the same content seems to have changed")
	}
	if one[file] == two[file] {
		t.Error("another content of the same length and time seems the same")
	}
	if told := len(one); told != 1 {
		t.Errorf("%d files seen, want 1", told)
	}
	changes := 0
	w.changed = func() { changes++ }
	w.compare(two)
	if changes != 0 {
		t.Error("told of a change where there was none")
	}
	w.compare(one)
	if changes != 1 {
		t.Error("not told of a change")
	}
}
