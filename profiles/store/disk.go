package store

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"
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

// read is what the document holds. It is an error if another one's name differs
// in upper and lower case alone: on some drives they would be one.
func (x *session) read() (state, error) {
	names, err := list(x.root, ".")
	if err != nil {
		return state{}, err
	}
	for _, other := range names {
		if other != x.name && strings.EqualFold(other, x.name) {
			return state{}, fmt.Errorf("the folder has %s already, which differs in upper and lower case alone; choose another name", other)
		}
	}
	info, err := x.root.Lstat(x.name)
	if errors.Is(err, fs.ErrNotExist) {
		return state{}, nil
	}
	if err != nil {
		return state{}, err
	}
	b, err := readRegular(x.root, x.name, ContentLimit)
	if errors.Is(err, fs.ErrNotExist) { // removed this very moment
		return state{}, nil
	}
	if err != nil {
		return state{}, err
	}
	return state{b, HashOf(b), info.ModTime()}, nil
}

// load reads the changes of the document that have not been read before. What is
// no whole entry is left out: it may be on its way yet.
func (x *session) load() error {
	key := keyOf(x.name)
	dir := path.Join(entriesFolder, key)
	names, err := list(x.root, dir)
	if err != nil {
		return err
	}
	if len(names) > x.s.most {
		return fmt.Errorf("its history has more than %d changes; move the folder %s away to begin anew", x.s.most, dir)
	}
	known := x.s.logs[key]
	x.log = make(changes, len(names))
	for _, name := range names {
		id := Hash(name)
		if c := known[id]; c != nil {
			x.log[id] = c
			continue
		}
		if c, err := readChange(x.root, key, id); err == nil {
			x.log[id] = c
		}
	}
	x.s.logs[key] = x.log
	return nil
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

// record puts a content and its change into the history.
func (x *session) record(content []byte, by Author, note string, aside bool, parents []Hash) (*change, error) {
	h := HashOf(content)
	if err := x.keep(h, content); err != nil {
		return nil, err
	}
	c := &change{
		document: x.name, content: h, size: len(content), parents: slices.Compact(slices.Sorted(slices.Values(parents))),
		time: moment(x.s.o.Now()), aside: aside,
		author: Author(oneLine(string(by), authorLimit)), note: oneLine(note, noteLimit),
	}
	b := c.encode()
	c.id = HashOf(b)
	name := entryPath(keyOf(x.name), c.id)
	if err := makeFolder(x.root, path.Dir(name)); err != nil {
		return nil, err
	}
	if err := place(x.root, name, b); err != nil {
		return nil, err
	}
	x.log[c.id] = c
	return c, nil
}

// forget takes a change back that could not be carried out.
func (x *session) forget(c *change) error {
	delete(x.log, c.id)
	return x.root.Remove(entryPath(keyOf(x.name), c.id))
}

func entryPath(key string, id Hash) string { return path.Join(entriesFolder, key, string(id)) }

func objectPath(h Hash) string { return path.Join(objectsFolder, string(h[:2]), string(h[2:])) }

// keep puts a content into the history, if it is not there whole.
func (x *session) keep(h Hash, content []byte) error {
	name := objectPath(h)
	if b, err := readRegular(x.root, name, ContentLimit); err == nil && bytes.Equal(b, content) {
		return nil
	}
	if err := makeFolder(x.root, path.Dir(name)); err != nil {
		return err
	}
	return place(x.root, name, content)
}

// content reads a content of the history and sees that it is what its name says.
func (x *session) content(h Hash) ([]byte, error) {
	if !h.valid() {
		return nil, fmt.Errorf("%.80q is no hash of a content", string(h))
	}
	b, err := readRegular(x.root, objectPath(h), ContentLimit)
	if err != nil {
		return nil, fmt.Errorf("the content %.12s of the history cannot be read: %w", h, cause(err))
	}
	if HashOf(b) != h {
		return nil, fmt.Errorf("the content %.12s of the history is damaged: it has changed since it was written", h)
	}
	return b, nil
}

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

// stage writes a new document where nobody looks, with the permissions of the old one.
func (x *session) stage(content []byte) (string, error) {
	var mode fs.FileMode
	if info, err := x.root.Lstat(x.name); err == nil {
		mode = info.Mode().Perm()
	}
	return stage(x.root, content, mode)
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

// writeBeside puts a version beside its document, under a name that says whose it
// is and that no reader of documents takes for one. A file that is there already
// is left alone: somebody may be working on it.
func (x *session) writeBeside(content []byte, by Author) (string, error) {
	whose := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, oneLine(called(by), 60))
	name := fmt.Sprintf("%s.conflict-%s-%.8s", x.name, whose, HashOf(content))
	staged, err := stage(x.root, content, 0)
	if err != nil {
		return "", err
	}
	defer x.root.Remove(staged)
	if err := x.create(staged, name); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", err
	}
	return name, nil
}
