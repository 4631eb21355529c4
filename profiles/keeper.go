package profiles

import (
	"crypto/sha256"
	"fmt"
	"os"

	"swellbox/profiles/reading"
)

// Keeper reads folders of documents again and again while they are edited, and
// remembers each file's last good version: a broken save, a half-written file or a
// drive that is away does not change what plays. Its methods must not be called
// concurrently.
type Keeper struct {
	good    map[string]File     // by path
	folders map[string][]string // by folder: the documents that were last there
}

// AddFolder adds the documents of a folder to a library as [Library.AddFolder] does,
// but of a file that cannot be read now, what it last held. The error says what is
// wrong all the same. A file that has been removed is no longer added.
func (k *Keeper) AddFolder(l *Library, dir string, origin Origin) error {
	if k.good == nil {
		k.good, k.folders = map[string]File{}, map[string][]string{}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		err = fmt.Errorf("cannot read the folder of profiles, so what it last held is kept: %w", err)
		l.addFiles(k.folders[dir], origin, func(path string) (File, error) { return k.good[path], nil })
		return err
	}
	files := documentsIn(dir, entries)
	for _, path := range k.folders[dir] {
		if _, err := os.Lstat(path); os.IsNotExist(err) {
			delete(k.good, path)
		}
	}
	k.folders[dir] = files
	return l.addFiles(files, origin, k.read)
}

// read reads a file, and parses it if its bytes are others than they last were.
func (k *Keeper) read(path string) (File, error) {
	was := k.good[path]
	b, err := reading.ReadFile(path)
	if err != nil {
		return was, err
	}
	if s := was.source(); s != nil && s.sum == sha256.Sum256(b) {
		return was, nil
	}
	f, err := ParseAny(path, b)
	if err != nil {
		return was, err
	}
	k.good[path] = f
	return f, nil
}

// source is where a profile or a controller map comes from; nil of what else a file holds.
func (f File) source() *Source {
	switch {
	case f.Profile != nil:
		return &f.Profile.Source
	case f.ControllerMap != nil:
		return &f.ControllerMap.Source
	}
	return nil
}
