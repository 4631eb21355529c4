package pack

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"strconv"
)

// temporary begins the names of what is being written; nothing else begins so.
const temporary = ".new-"

// openHome opens the user's folder, which need not be there yet. No path that is
// used in it can lead out of it.
func openHome(home string) (*os.Root, error) {
	if home == "" {
		return nil, errors.New("the user has no configuration folder; name one with --home")
	}
	if err := os.MkdirAll(home, 0o700); err != nil {
		return nil, fmt.Errorf("cannot make the folder %s: %w", home, err)
	}
	r, err := os.OpenRoot(home)
	if err != nil {
		return nil, fmt.Errorf("cannot open the folder: %w", err)
	}
	return r, nil
}

// exists is false for a folder that was never made: it is not made only to look.
func exists(home string) bool {
	_, err := os.Stat(home)
	return !errors.Is(err, fs.ErrNotExist)
}

// create writes a file that is not there yet, down to the disk.
func create(r *os.Root, name string, content []byte, mode fs.FileMode) error {
	f, err := r.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	defer f.Close()
	if _, err := f.Write(content); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	return f.Close()
}

// replace makes or replaces a file, whole or not at all.
func replace(r *os.Root, name string, content []byte, mode fs.FileMode) error {
	tmp := temporaryName()
	defer r.Remove(tmp) // in vain once it has been renamed
	if err := create(r, tmp, content, mode); err != nil {
		return err
	}
	return r.Rename(tmp, name)
}

func temporaryName() string { return temporary + strconv.FormatUint(rand.Uint64(), 36) }

// read reads a small file; one that is larger than it can be is an error.
func read(r *os.Root, name string, limit int64) ([]byte, error) {
	f, err := r.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is not a file", name)
	}
	b, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(b)) > limit {
		err = fmt.Errorf("%s has over %d bytes", name, limit)
	}
	return b, err
}

// list is the folder's entries that are not hidden, sorted; none if there is no folder.
func list(r *os.Root, dir string) ([]fs.DirEntry, error) {
	entries, err := fs.ReadDir(r.FS(), dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	shown := entries[:0]
	for _, e := range entries {
		if e.Name()[0] != '.' {
			shown = append(shown, e)
		}
	}
	return shown, err
}
