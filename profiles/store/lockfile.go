package store

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"strconv"
	"time"
)

// How long to wait for somebody else's lock. Saving takes milliseconds, on a slow
// drive perhaps a second: a lock that stands for patience is nobody's any more.
// Time is counted in our own pauses; no clocks of two machines are compared.
const (
	shortest   = 2 * time.Millisecond
	longest    = 50 * time.Millisecond
	patience   = 10 * time.Second
	longestAll = 2 * time.Minute
	tokenLimit = 256 // bytes of a lock file
)

// lock keeps others from saving the document of that key, until release.
func (s *Store) lock(root *os.Root, key string) (release func(), err error) {
	name := path.Join(locksFolder, key)
	token := fmt.Sprintf("%d %s\n", os.Getpid(), strconv.FormatUint(rand.Uint64(), 36))
	var seen string
	var same, all time.Duration
	for wait := shortest; ; wait = min(2*wait, longest) {
		err := makeLock(root, name, token)
		if err == nil {
			return func() { releaseLock(root, name, token) }, nil
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil, err
		}
		held, err := readRegular(root, name, tokenLimit)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if string(held) != seen {
			seen, same = string(held), 0
		}
		if same >= patience {
			breakLock(root, name, seen)
			same = 0
			continue
		}
		if all >= longestAll {
			return nil, fmt.Errorf("others have been saving it for %v without a break; try again", longestAll)
		}
		pause := wait/2 + rand.N(wait)
		s.pause(pause)
		same += pause
		all += pause
	}
}

func makeLock(root *os.Root, name, token string) error {
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.WriteString(token)
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, root.Remove(name))
	}
	return nil
}

// releaseLock removes a lock, unless somebody has lost patience with it.
func releaseLock(root *os.Root, name, token string) {
	if held, err := readRegular(root, name, tokenLimit); err == nil && string(held) == token {
		_ = root.Remove(name) // if it stays it is broken after a while
	}
}

// breakLock takes a lock away whose owner is gone. If it was another one's, made
// this very moment, it is given back.
func breakLock(root *os.Root, name, stale string) {
	aside := path.Join(stagedFolder, strconv.FormatUint(rand.Uint64(), 36))
	if root.Rename(name, aside) != nil {
		return // somebody else broke it
	}
	if held, err := readRegular(root, aside, tokenLimit); err == nil && string(held) != stale {
		_ = root.Link(aside, name) // in vain if there is a third by now; see the package's comment on locks
	}
	_ = root.Remove(aside) // what is left in the folder of the moment does no harm
}
