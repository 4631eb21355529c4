package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"syscall"
	"time"
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
