package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// mount puts a small file system of its own over a folder.
func mount(t *testing.T, dir, options string) {
	t.Helper()
	if os.Geteuid() != 0 {
		t.Skip("only root can mount a file system")
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, options); err != nil {
		t.Skipf("this machine lets nobody mount a file system: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, 0); err != nil {
			t.Error(err)
		}
	})
}

// TestFullDisk fills a small disk, so that each step of a save is once the first
// that finds no room. The document stays whole, and the history sound.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	mount(t, dir, "size=256k")
	s := open(t, dir)
	save(t, s, "a: 1\n", "", "Anna")
	held := "a: 1\n"
	const page = 4096
	failures := 0
	for free := range 24 {
		filler := filepath.Join(dir, "filler")
		room := func(pages int) { // leaves so many pages free
			var fs syscall.Statfs_t
			if err := syscall.Statfs(dir, &fs); err != nil {
				t.Fatal(err)
			}
			if n := int(fs.Bavail) - pages; n > 0 {
				if err := os.WriteFile(filler, make([]byte, n*page), 0o666); err != nil {
					t.Fatal(err)
				}
			}
		}
		room(free)
		content := make([]byte, 3*page)
		for i := range content {
			content[i] = 'a' + byte(rand.IntN(26))
		}
		_, err := s.Save(doc, content, HashOf([]byte(held)), "Anna")
		if err == nil {
			held = string(content)
		} else {
			failures++
			if !errors.Is(err, syscall.ENOSPC) || !strings.HasSuffix(err.Error(), "make room and try again") || strings.Contains(err.Error(), "\n") {
				t.Errorf("%d pages free: %v", free, err)
			}
		}
		b, errRead := os.ReadFile(filepath.Join(dir, doc))
		if errRead != nil || !bytes.Equal(b, []byte(held)) {
			t.Fatalf("%d pages free: the document is not what was saved last, %v", free, errRead)
		}
		list, errHistory := s.History(doc)
		if errHistory != nil || len(list) == 0 || list[len(list)-1].Hash != HashOf(b) || !list[len(list)-1].Current {
			t.Errorf("%d pages free: the newest version is %+v, %v", free, list[len(list)-1], errHistory)
		}
		sound(t, s)
		if err := os.Remove(filler); err != nil && !errors.Is(err, fs.ErrNotExist) {
			t.Fatal(err)
		}
		if err == nil {
			break
		}
	}
	if failures < 4 {
		t.Errorf("the disk was full %d times only", failures)
	}
}

func TestReadOnlyDisk(t *testing.T) {
	dir := t.TempDir()
	mount(t, dir, "size=256k")
	s := open(t, dir)
	save(t, s, "a: 1\n", "", "Anna")
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	_, err := s.Save(doc, []byte("a: 2\n"), HashOf([]byte("a: 1\n")), "Anna")
	if !errors.Is(err, syscall.EROFS) || !strings.HasSuffix(err.Error(), "the folder can be read but not written to") {
		t.Errorf("the error is %v", err)
	}
	if _, err := s.Adopt(doc, "Anna"); err != nil {
		t.Errorf("there is nothing to adopt: %v", err)
	}
	expect(t, told(t, s, doc), fmt.Sprintf("Anna, saved: %q current", "a: 1\n"))
}
