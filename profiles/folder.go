package profiles

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

// AddFile reads a profile or a controller map and adds it.
func (l *Library) AddFile(name string, origin Origin) error {
	f, err := ReadFile(name)
	if err != nil {
		return err
	}
	if f.Seating != nil {
		return Problems{{File: name, Text: "this is a seating, wanted is a profile or a controller map"}}
	}
	return l.add(f, origin)
}

// add adds what a file holds. A keeper gives one library after another the same document, which
// others may be reading by then: what is added is a copy, and its origin this library's own affair.
func (l *Library) add(f File, origin Origin) error {
	switch {
	case f.Profile != nil:
		d := *f.Profile
		d.Origin = origin
		return l.Add(&d)
	case f.ControllerMap != nil:
		m := *f.ControllerMap
		m.Origin = origin
		return l.AddControllerMap(&m)
	}
	return nil
}

// AddFolder adds the profiles and controller maps of a folder, its files *.yaml and
// *.yml in the order of their names, not those of folders in it. A seating in the
// folder is left alone. A file that is wrong is left out and its error joined to
// the others, so that one broken profile does not silence an orchestra. Two files
// for one name are an error, and the first holds.
func (l *Library) AddFolder(dir string, origin Origin) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("cannot read the folder of profiles: %w", err)
	}
	return l.addFiles(documentsIn(dir, entries), origin, ReadFile)
}

// documentsIn are the paths of the documents among a folder's entries.
func documentsIn(dir string, entries []os.DirEntry) (files []string) {
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		if !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && (ext == ".yaml" || ext == ".yml") {
			files = append(files, filepath.Join(dir, e.Name()))
		}
	}
	return files
}

// addFiles adds what read makes of the files of one folder. It may make something of
// a file and report an error too.
func (l *Library) addFiles(paths []string, origin Origin, read func(string) (File, error)) error {
	var errs []error
	files := map[string]string{}
	for _, file := range paths {
		f, err := read(file)
		if err != nil {
			errs = append(errs, err)
		}
		if f == (File{}) {
			continue
		}
		name := f.title()
		if other, twice := files[name]; twice && name != "" {
			errs = append(errs, Problems{{File: file, Text: fmt.Sprintf("%s is already in %s; give one of them another name", name, other)}})
			continue
		}
		files[name] = file
		err = l.add(f, origin)
		errs = append(errs, err)
		if errors.Is(err, errFull) {
			break
		}
	}
	return errors.Join(errs...)
}

// title is the kind and name of what a file holds; empty for a seating, which has no name.
func (f File) title() string {
	switch {
	case f.Profile != nil:
		return "the profile " + f.Profile.Name
	case f.ControllerMap != nil:
		return "the controller map " + f.ControllerMap.Name
	}
	return ""
}
