package store

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"time"
)

// Hash is the SHA-256 of a content in 64 lower-case hexadecimal digits; empty for
// a document that does not exist.
type Hash string

// HashOf is the hash of a content.
func HashOf(b []byte) Hash {
	sum := sha256.Sum256(b)
	return Hash(hex.EncodeToString(sum[:]))
}

// valid reports whether h can be the hash of a content.
func (h Hash) valid() bool {
	b, err := hex.DecodeString(string(h))
	return err == nil && len(b) == sha256.Size && hex.EncodeToString(b) == string(h)
}

// Author is the name of who makes a change, for people. It is kept as one line of
// at most [authorLimit] bytes; empty means that nobody knows.
type Author string

// Limits of what is read, in bytes, and of the changes of one document. A history
// of more changes can still be moved away; its document is then begun anew.
const (
	ContentLimit = 1 << 20 // as profiles.DocumentLimit
	changesLimit = 100_000
)

// Options are what a store needs beside its folder. The zero value works.
type Options struct {
	// Merge lays ours and theirs, which both rest on base, together. Where both
	// changed the same thing it names the keys. If it is nil, two who change a
	// document at once are always in conflict.
	Merge func(base, ours, theirs []byte) (merged []byte, conflicts []string, err error)
	// Now is the clock of the history; nil for the system's.
	Now func() time.Time
	// MakeFolder makes the folder of documents if need be. It is not for a shared
	// drive, where a folder that is not there means a drive that is not connected.
	MakeFolder bool
}

// Store is a folder of documents with its history. It may be used by several
// goroutines, and the same folder by several stores, programs and machines. Its
// methods wait for the disk, and for others who save the same document.
type Store struct {
	dir string
	o   Options

	mu   sync.Mutex
	logs map[string]changes // by key of the document; changes never change, so what was read is kept

	most       int                                    // changes of one document
	pause      func(time.Duration)                    // between two looks at a lock
	exchange   func(root *os.Root, a, b string) error // lets two files change places
	beforeSwap func()                                 // for tests: moments at which somebody else may write
}

// Open makes a store of a folder. Nothing is read or written yet.
func Open(dir string, o Options) (*Store, error) {
	if dir == "" {
		return nil, errors.New("a store needs a folder; none was given")
	}
	if o.Now == nil {
		o.Now = time.Now
	}
	return &Store{dir: dir, o: o, logs: map[string]changes{}, most: changesLimit, pause: time.Sleep, exchange: exchange, beforeSwap: func() {}}, nil
}

// Saved says what became of a change.
type Saved struct {
	Hash      Hash     // of what the document holds now
	Unchanged bool     // the document held that already
	Merged    []Author // whose changes it was merged with
}

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

// root opens the folder for one call: a drive may be connected anew between two.
func (s *Store) root() (*os.Root, error) {
	root, err := os.OpenRoot(s.dir)
	if err != nil {
		return nil, fmt.Errorf("cannot reach the folder %s: %w; is its drive connected?", s.dir, cause(err))
	}
	if info, err := root.Lstat(historyFolder); err == nil && !info.IsDir() {
		return nil, errors.Join(fmt.Errorf("the history %s is not a folder; move it away", filepath.Join(s.dir, historyFolder)), root.Close())
	}
	return root, nil
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

// failure is one sentence of an error, with what a user can do about it.
func (s *Store) failure(what, name string, err error) error {
	hint := ""
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrPermission) || errors.Is(err, syscall.EROFS):
		hint = "; the folder can be read but not written to"
	case errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT):
		hint = "; make room and try again"
	}
	return fmt.Errorf("cannot %s %s in %s: %w%s", what, name, s.dir, cause(err), hint)
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
