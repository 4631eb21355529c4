package atomicfile

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// holds checks what a file contains.
func holds(t *testing.T, path, want string) {
	t.Helper()
	got, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Errorf("%s holds %q, want %q", filepath.Base(path), got, want)
	}
}

// lists checks that a folder contains those names and nothing else.
func lists(t *testing.T, dir string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if !slices.Equal(got, want) {
		t.Errorf("the folder holds %q, want %q", got, want)
	}
}

func write(t *testing.T, path, s string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(s), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestWrite(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	for _, s := range []string{"first", "the second, which is longer", "3", ""} {
		if err := Write(path, text(s)); err != nil {
			t.Fatal(err)
		}
		holds(t, path, s)
		lists(t, dir, "out")
	}
	long := strings.Repeat("0123456789", 100_000)
	if err := Write(path, text(long)); err != nil {
		t.Fatal(err)
	}
	holds(t, path, long)
}

func TestWriteInWorkingFolder(t *testing.T) {
	t.Chdir(t.TempDir())
	if err := Write("out", text("here")); err != nil {
		t.Fatal(err)
	}
	holds(t, "out", "here")
}

func TestPermissions(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has other permissions")
	}
	dir := t.TempDir()
	plain, made, kept := filepath.Join(dir, "plain"), filepath.Join(dir, "made"), filepath.Join(dir, "kept")
	mode := func(path string) os.FileMode {
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		return info.Mode()
	}
	f, err := os.Create(plain)
	if err != nil {
		t.Fatal(err)
	}
	f.Close()
	if err := Write(made, text("new")); err != nil {
		t.Fatal(err)
	}
	if mode(made) != mode(plain) {
		t.Errorf("a new file has %v, another program's %v", mode(made), mode(plain))
	}
	write(t, kept, "old")
	for _, want := range []os.FileMode{0o640, 0o755, 0o400} {
		if err := os.Chmod(kept, want); err != nil {
			t.Fatal(err)
		}
		if err := Write(kept, text("new")); err != nil {
			t.Fatal(err)
		}
		if got := mode(kept); got != want {
			t.Errorf("permissions %v became %v", want, got)
		}
	}
}

func TestFailingWriter(t *testing.T) {
	broken := errors.New("no more samples")
	for _, had := range []bool{false, true} {
		dir := t.TempDir()
		path := filepath.Join(dir, "out")
		want := []string(nil)
		if had {
			write(t, path, "old")
			want = []string{"out"}
		}
		err := Write(path, func(w io.Writer) error {
			if _, err := w.Write(make([]byte, 100_000)); err != nil {
				return err
			}
			return broken
		})
		if !errors.Is(err, broken) || !strings.Contains(err.Error(), path) {
			t.Errorf("error %v, want %v with the path", err, broken)
		}
		lists(t, dir, want...)
		if had {
			holds(t, path, "old")
		}
	}
}

func TestPanickingWriter(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out")
	write(t, path, "old")
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		_ = Write(path, func(io.Writer) error { panic("oh") })
	}()
	lists(t, dir, "out")
	holds(t, path, "old")
}

// TestNotAFile leaves alone what is no regular file.
func TestNotAFile(t *testing.T) {
	dir := t.TempDir()
	folder := filepath.Join(dir, "folder")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	called := false
	for _, path := range []string{folder, os.DevNull} {
		err := Write(path, func(io.Writer) error { called = true; return nil })
		if err == nil || !strings.Contains(err.Error(), "cannot write "+path) {
			t.Errorf("%s: error %v", path, err)
		}
	}
	if called {
		t.Error("the writer was called in vain")
	}
	lists(t, dir, "folder")
	lists(t, folder)
}

func TestMissingFolder(t *testing.T) {
	path := filepath.Join(t.TempDir(), "none", "out")
	err := Write(path, text("lost"))
	if !errors.Is(err, os.ErrNotExist) || !strings.Contains(err.Error(), "cannot write "+path) {
		t.Errorf("error %v", err)
	}
}

func TestSymbolicLink(t *testing.T) {
	dir := t.TempDir()
	elsewhere := t.TempDir()
	file, link := filepath.Join(elsewhere, "file"), filepath.Join(dir, "link")
	write(t, file, "old")
	if err := os.Symlink(file, link); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	if err := Write(link, text("new")); err != nil {
		t.Fatal(err)
	}
	holds(t, file, "new")
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is one no more: %v, %v", info.Mode(), err)
	}
	lists(t, elsewhere, "file")
}
