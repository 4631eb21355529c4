package store

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode"
)

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

// stage writes a new document where nobody looks, with the permissions of the old one.
func (x *session) stage(content []byte) (string, error) {
	var mode fs.FileMode
	if info, err := x.root.Lstat(x.name); err == nil {
		mode = info.Mode().Perm()
	}
	return stage(x.root, content, mode)
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
