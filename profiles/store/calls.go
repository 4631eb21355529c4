package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"
)

// Save makes content the new version of the document name, a file name in the
// folder. base is the hash of what the writer started from, empty for a new
// document. If the document holds something else by now, both changes are merged.
// If that cannot be, the document stays as it is, content is kept beside it, and
// the error is a [*ConflictError]. After any other error the document is as it was.
func (s *Store) Save(name string, content []byte, base Hash, by Author) (Saved, error) {
	return s.SaveNoted(name, content, base, by, "saved")
}

// SaveNoted is [Store.Save] with a line of the writer's own in the history.
func (s *Store) SaveNoted(name string, content []byte, base Hash, by Author, note string) (saved Saved, err error) {
	if len(content) > ContentLimit {
		return Saved{}, fmt.Errorf("cannot save %s: it has %d bytes, allowed are %d", name, len(content), ContentLimit)
	}
	err = s.locked("save", name, func(x *session) error {
		saved, err = x.save(content, base, by, note)
		return err
	})
	return saved, err
}

// Adopt takes what the document holds into its history, if it is not there yet:
// somebody wrote it with an editor. by is who that was, as far as known. Where
// the folder cannot be written to, the error wraps [fs.ErrPermission] or the
// system's error for a read-only disk, if there is anything to take in.
func (s *Store) Adopt(name string, by Author) (Hash, error) {
	var h Hash
	known := false
	err := s.reading("read", name, func(x *session) error {
		cur, err := x.read()
		if err != nil {
			return err
		}
		if h = cur.hash; h == "" {
			return fs.ErrNotExist
		}
		held, _ := x.standing(cur)
		known = len(held) > 0
		return nil
	})
	if err != nil || known {
		return h, err
	}
	err = s.locked("keep a copy of", name, func(x *session) error {
		cur, err := x.adopt(by)
		h = cur.hash
		return err
	})
	return h, err
}

// Back makes version n of the history (see [Store.History]) the newest one again.
// What the document holds before is in the history, too.
func (s *Store) Back(name string, n int, by Author) (saved Saved, err error) {
	err = s.locked("go back in", name, func(x *session) error {
		list := x.log.ordered()
		if n < 1 || n > len(list) {
			return fmt.Errorf("there is no version %d, there are %d", n, len(list))
		}
		content, err := x.content(list[n-1].content)
		if err != nil {
			return err
		}
		cur, err := x.adopt("")
		if err != nil {
			return err
		}
		saved, err = x.save(content, cur.hash, by, fmt.Sprintf("back to version %d", n))
		return err
	})
	return saved, err
}

// Version is one version of a document.
type Version struct {
	N       int       `json:"n"` // from 1, the oldest. What another machine adds later may shift it.
	Hash    Hash      `json:"hash"`
	Size    int       `json:"size"` // bytes
	Time    time.Time `json:"time"` // by the clock of the machine where it was made
	Author  Author    `json:"author"`
	Note    string    `json:"note"`
	Aside   bool      `json:"aside"`   // it never was in the document: it is kept beside it after a conflict
	Current bool      `json:"current"` // the document holds it
}

// History lists the versions of a document, the oldest first. A version comes
// after those it rests on; where neither rests on the other, the clock decides. A
// document that is not there, or was never changed through the store, has none.
func (s *Store) History(name string) ([]Version, error) {
	var list []Version
	err := s.reading("read the history of", name, func(x *session) error {
		cur, err := x.read()
		if err != nil {
			return err
		}
		held, _ := x.standing(cur)
		for i, c := range x.log.ordered() {
			list = append(list, Version{
				N: i + 1, Hash: c.content, Size: c.size, Time: c.time, Author: c.author, Note: c.note,
				Aside: c.aside, Current: len(held) > 0 && c == held[len(held)-1],
			})
		}
		return nil
	})
	return list, err
}

// Content is what a version of any document held.
func (s *Store) Content(h Hash) ([]byte, error) {
	root, err := s.root()
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return (&session{s: s, root: root}).content(h)
}

// reading calls f with the state of one document, without a lock.
func (s *Store) reading(what, name string, f func(*session) error) error {
	if err := checkName(name); err != nil {
		return err
	}
	root, err := s.root()
	if err != nil {
		return err
	}
	defer root.Close()
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.with(root, what, name, f)
}

// locked calls f with the state of one document, while nobody else changes it.
func (s *Store) locked(what, name string, f func(*session) error) error {
	if err := checkName(name); err != nil {
		return err
	}
	if s.o.MakeFolder {
		if err := os.MkdirAll(s.dir, 0o777); err != nil {
			return fmt.Errorf("cannot make the folder %s: %w", s.dir, cause(err))
		}
	}
	root, err := s.root()
	if err != nil {
		return err
	}
	defer root.Close()
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := prepare(root); err != nil {
		return s.failure(what, name, err)
	}
	release, err := s.lock(root, keyOf(name))
	if err != nil {
		return s.failure(what, name, err)
	}
	defer release()
	return s.with(root, what, name, f)
}

func (s *Store) with(root *os.Root, what, name string, f func(*session) error) error {
	x := &session{s: s, root: root, name: name}
	if err := x.load(); err != nil {
		return s.failure(what, name, err)
	}
	err := f(x)
	if _, ok := errors.AsType[*ConflictError](err); ok {
		return err
	}
	return s.failure(what, name, err)
}
