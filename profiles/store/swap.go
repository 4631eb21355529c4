package store

import (
	"errors"
	"io/fs"
)

// swap puts the staged file in the place of the document, which is thought to hold
// was. If somebody else has written the document meanwhile, theirs is what they
// wrote: it either stayed, or had been replaced already when it was seen.
func (x *session) swap(staged string, was Hash) (theirs []byte, err error) {
	x.s.beforeSwap()
	cur, err := x.read()
	if err != nil {
		return nil, err
	}
	if cur.hash == "" {
		err := x.create(staged, x.name)
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		if cur, err = x.read(); err != nil {
			return nil, err
		}
	}
	if cur.hash != was {
		return cur.content, nil
	}
	x.s.beforeSwap()
	err = x.s.exchange(x.root, staged, x.name)
	switch {
	case errors.Is(err, errors.ErrUnsupported):
		return nil, x.root.Rename(staged, x.name)
	case errors.Is(err, fs.ErrNotExist): // removed this very moment
		return nil, x.create(staged, x.name)
	case err != nil:
		return nil, err
	}
	// What the document held is under the staged name now.
	old, err := readRegular(x.root, staged, ContentLimit)
	if err != nil {
		return nil, errors.Join(err, x.s.exchange(x.root, staged, x.name))
	}
	if HashOf(old) != was {
		return old, nil
	}
	return nil, nil
}

// create gives the staged file a name that no file has yet. Where the file system
// has no hard links, somebody who makes that file at the same moment is replaced.
func (x *session) create(staged, name string) error {
	err := x.root.Link(staged, name)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := x.root.Lstat(name); err == nil {
		return fs.ErrExist
	}
	return x.root.Rename(staged, name)
}
