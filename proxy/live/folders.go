package live

import (
	"crypto/sha256"
	"io"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
)

// How soon a change is noticed. An editor's save is several events within a few
// milliseconds; the quiet lets it come to its end.
const (
	quiet      = 30 * time.Millisecond
	pollPeriod = 100 * time.Millisecond // where the system tells of no changes
	checkUp    = time.Second            // where it does, in case it forgets: network drives
)

// FolderWatch tells when something in a set of folders may have changed. It asks the
// system to tell, and looks by itself where the system does not: folders that are
// not there yet, network drives. Editors that save by renaming, files written in
// pieces and folders that come and go are all one change, told once they are quiet.
type FolderWatch struct {
	folders func() []string
	changed func()
	notify  *fsnotify.Watcher // nil: poll only
	told    map[string]bool   // folders the system tells of
	stop    chan struct{}
	done    sync.WaitGroup
}

// WatchFolders watches until Close. folders is asked at every look which they are,
// and changed told of a change, both from one goroutine. Folders may not exist yet.
func WatchFolders(folders func() []string, changed func()) *FolderWatch {
	w := &FolderWatch{folders: folders, changed: changed, told: map[string]bool{}, stop: make(chan struct{})}
	if n, err := fsnotify.NewWatcher(); err == nil {
		w.notify = n
	}
	w.done.Add(1)
	seen := w.look(nil)
	go w.run(seen)
	return w
}

// Close ends the watch, and with it a call of changed that is under way.
func (w *FolderWatch) Close() error {
	close(w.stop)
	w.done.Wait()
	if w.notify != nil {
		return w.notify.Close()
	}
	return nil
}

func (w *FolderWatch) run(seen map[string]stamp) {
	defer w.done.Done()
	var events <-chan fsnotify.Event
	var lost <-chan error
	if w.notify != nil {
		events, lost = w.notify.Events, w.notify.Errors
	}
	poll := time.NewTimer(w.period())
	defer poll.Stop()
	settle := time.NewTimer(time.Hour)
	defer settle.Stop()
	for {
		select {
		case <-w.stop:
			return
		case _, open := <-lost: // it may have lost events: looking finds what it missed
			if !open {
				lost = nil
			}
			settle.Reset(quiet)
		case _, open := <-events:
			if !open {
				events = nil
			}
			settle.Reset(quiet)
		case <-settle.C:
			seen = w.compare(seen)
		case <-poll.C:
			seen = w.compare(seen)
			poll.Reset(w.period())
		}
	}
}

// period is how long to trust the system.
func (w *FolderWatch) period() time.Duration {
	for _, dir := range w.folders() {
		if !w.told[dir] {
			return pollPeriod
		}
	}
	return checkUp
}

// compare looks again and tells of a difference.
func (w *FolderWatch) compare(seen map[string]stamp) map[string]stamp {
	now := w.look(seen)
	same := len(now) == len(seen)
	for path, s := range now {
		if seen[path] != s {
			same = false
			break
		}
	}
	if !same {
		w.changed()
	}
	return now
}

// stamp is by what a file is known. The hash is there for drives whose times are too
// coarse to tell two saves apart.
type stamp struct {
	size int64
	time time.Time
	hash [sha256.Size]byte
}

// fresh is for how long after its time a file is read to be known: the coarsest times,
// of FAT drives, are two seconds.
const fresh = 3 * time.Second

// maxStamped bounds what is read of a fresh file; no document is longer.
const maxStamped = 1 << 20

// look takes the stamps of all files in the folders, and asks the system to tell of
// folders that have come. before is what it saw the last time.
func (w *FolderWatch) look(before map[string]stamp) map[string]stamp {
	seen := map[string]stamp{}
	for _, dir := range w.folders() {
		entries, err := os.ReadDir(dir)
		w.ask(dir, err == nil)
		for _, e := range entries {
			info, err := e.Info()
			if err != nil || e.IsDir() {
				continue
			}
			path := filepath.Join(dir, e.Name())
			s := stamp{size: info.Size(), time: info.ModTime()}
			was := before[path]
			switch {
			case time.Since(s.time) < fresh && info.Mode().IsRegular():
				s.hash = hashOf(path)
			case was.size == s.size && was.time.Equal(s.time):
				s.hash = was.hash
			}
			seen[path] = s
		}
	}
	return seen
}

// ask has the system tell of a folder, or forgets that it did once the folder has
// gone: one that comes back is another to it.
func (w *FolderWatch) ask(dir string, there bool) {
	if w.notify == nil {
		return
	}
	switch {
	case !there:
		w.told[dir] = false
	case !w.told[dir]:
		w.told[dir] = w.notify.Add(dir) == nil
	}
}

func hashOf(path string) (sum [sha256.Size]byte) {
	f, err := os.Open(path)
	if err != nil {
		return sum
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, io.LimitReader(f, maxStamped)); err != nil {
		return sum
	}
	h.Sum(sum[:0])
	return sum
}
