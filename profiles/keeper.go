package profiles

import (
	"fmt"
	"os"
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
	return l.addFiles(files, origin, func(path string) (File, error) {
		f, err := ReadFile(path)
		if err != nil {
			return k.good[path], err
		}
		k.good[path] = f
		return f, nil
	})
}
