package store

import (
	"errors"
	"fmt"
	"os"
	"path"
	"slices"
)

// Check reads the whole history and sees that every content and every entry is
// what its name says, and that no version lacks its content. The error joins one
// sentence for each fault; the documents themselves are not looked at.
func (s *Store) Check() error {
	root, err := s.root()
	if err != nil {
		return err
	}
	defer root.Close()
	x := &session{s: s, root: root}
	var faults []error
	sound := map[Hash]bool{}
	heads, err := sortedList(root, objectsFolder)
	if err != nil {
		return fmt.Errorf("cannot read the history in %s: %w", s.dir, cause(err))
	}
	for _, head := range heads {
		tails, err := sortedList(root, path.Join(objectsFolder, head))
		faults = append(faults, err)
		for _, tail := range tails {
			h := Hash(head + tail)
			_, err := x.content(h)
			sound[h] = err == nil
			faults = append(faults, err)
		}
	}
	keys, err := sortedList(root, entriesFolder)
	faults = append(faults, err)
	for _, key := range keys {
		entries, err := sortedList(root, path.Join(entriesFolder, key))
		faults = append(faults, err)
		for _, id := range entries {
			c, err := readChange(root, key, Hash(id))
			if err != nil {
				faults = append(faults, fmt.Errorf("an entry of the history of %s is left out (%.12s): %w", key, id, cause(err)))
				continue
			}
			if _, there := sound[c.content]; !there {
				faults = append(faults, fmt.Errorf("the history of %s lacks the content %.12s, of %s", key, c.content, c.time.Format("2006-01-02 15:04")))
			}
		}
	}
	return errors.Join(faults...)
}

func sortedList(root *os.Root, dir string) ([]string, error) {
	names, err := list(root, dir)
	slices.Sort(names)
	return names, err
}
