package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"strconv"
)

// The folders of a history. Names with slashes are those of [os.Root].
const (
	historyFolder = ".history"
	objectsFolder = historyFolder + "/objects"
	entriesFolder = historyFolder + "/entries"
	locksFolder   = historyFolder + "/locks"
	stagedFolder  = historyFolder + "/staged"
)

// prepare makes the folders of the history. Git is told to leave the bytes of
// the history alone, and not to keep what is of one moment.
func prepare(root *os.Root) error {
	for _, dir := range []string{locksFolder, stagedFolder} {
		if err := makeFolder(root, dir); err != nil {
			return err
		}
	}
	if _, err := root.Lstat(historyFolder + "/.gitignore"); err == nil {
		return nil
	}
	if err := place(root, historyFolder+"/.gitattributes", []byte("* -text\n")); err != nil {
		return err
	}
	return place(root, historyFolder+"/.gitignore", []byte("/locks/\n/staged/\n"))
}

// makeFolder makes a folder of the history and those above it. Who may write to the
// folder of documents may write to them, whatever the umask of whoever is first.
func makeFolder(root *os.Root, dir string) error {
	err := root.Mkdir(dir, 0o777)
	if errors.Is(err, fs.ErrNotExist) && path.Dir(dir) != "." {
		if err := makeFolder(root, path.Dir(dir)); err != nil {
			return err
		}
		err = root.Mkdir(dir, 0o777)
	}
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	info, err := root.Stat(".")
	if err != nil {
		return err
	}
	return root.Chmod(dir, info.Mode()&(fs.ModePerm|fs.ModeSetgid))
}

// list is the names in a folder of the history, none if the folder does not exist.
func list(root *os.Root, dir string) ([]string, error) {
	f, err := root.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return f.Readdirnames(-1)
}

// readRegular reads a regular file of at most limit bytes. It does not follow a
// symbolic link, which would let one who shares the folder have other files of
// the user's read or replaced.
func readRegular(root *os.Root, name string, limit int64) ([]byte, error) {
	info, err := root.Lstat(name)
	switch {
	case err != nil:
		return nil, err
	case info.Mode()&fs.ModeSymlink != 0:
		return nil, errors.New("it is a symbolic link; put the file itself in its place")
	case !info.Mode().IsRegular():
		return nil, errors.New("it is not a regular file")
	}
	f, err := root.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(b)) > limit {
		err = fmt.Errorf("it has more than %d bytes", limit)
	}
	return b, err
}

// readChange reads one change and sees that it is what its name says.
func readChange(root *os.Root, key string, id Hash) (*change, error) {
	b, err := readRegular(root, entryPath(key, id), entryLimit)
	if err != nil {
		return nil, err
	}
	c, err := parseChange(b)
	if err != nil {
		return nil, err
	}
	if c.id != id || keyOf(c.document) != key {
		return nil, errEntry
	}
	return c, nil
}

func entryPath(key string, id Hash) string { return path.Join(entriesFolder, key, string(id)) }

func objectPath(h Hash) string { return path.Join(objectsFolder, string(h[:2]), string(h[2:])) }

// place makes or replaces a file of the history, whole or not at all.
func place(root *os.Root, name string, b []byte) error {
	staged, err := stage(root, b, 0)
	if err != nil {
		return err
	}
	if err := root.Rename(staged, name); err != nil {
		return errors.Join(err, root.Remove(staged))
	}
	return nil
}

func stage(root *os.Root, b []byte, mode fs.FileMode) (string, error) {
	name := path.Join(stagedFolder, strconv.FormatUint(rand.Uint64(), 36))
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return "", err
	}
	_, err = f.Write(b)
	if err == nil && mode != 0 {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return "", errors.Join(err, root.Remove(name))
	}
	return name, nil
}

// cause is an error of the system without the name of the file, which would be
// one that means nothing to the user.
func cause(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err
	}
	return err
}
