package profile

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"swellbox/cmd/swellbox/program"
	"swellbox/profiles"
	"swellbox/profiles/change"
	"swellbox/profiles/store"
)

// draft is a document that is to be written: a file in a folder that one may write
// to, and what it holds now.
type draft struct {
	name    string // of the profile or controller map
	dir     string
	file    string // in dir
	content []byte
	base    store.Hash // of content; empty if the file is not there yet
	own     bool       // dir is one's own, and made if need be
}

func (d *draft) path() string { return filepath.Join(d.dir, d.file) }

// drafted is the document of a name among all profiles, of which it says what is wrong.
func drafted(p *program.Program, name string) (*profiles.Library, *draft, error) {
	lib, warnings, err := browse(p)
	if err != nil {
		return nil, nil, err
	}
	p.Warn(warnings)
	d, err := draftOf(p, lib, name)
	return lib, d, err
}

// draftOf is the document of a name. One that is built in or installed stays as it
// is: the draft is then an own document that extends it.
func draftOf(p *program.Program, lib *profiles.Library, name string) (*draft, error) {
	var source *profiles.Source
	if d, ok := lib.Lookup(name); ok {
		source = &d.Source
	} else if m, ok := lib.LookupControllerMap(name); ok {
		source = &m.Source
	} else {
		_, err := lib.Chain(name) // says that there is none, and which is the nearest
		return nil, err
	}
	if source.Origin.Kind == profiles.Own || source.Origin.Kind == profiles.Studio {
		return &draft{
			name: name, dir: filepath.Dir(source.File), file: filepath.Base(source.File),
			content: source.Bytes(), base: store.Hash(source.Hash()), own: source.Origin.Kind == profiles.Own,
		}, nil
	}
	if _, ok := lib.Lookup(name); !ok {
		return nil, fmt.Errorf("the controller map %s is %s and stays as it is; save it under a name of your own", name, source.Origin)
	}
	dir, err := p.Settings.HomeProfiles()
	if err != nil {
		return nil, err
	}
	d := &draft{name: name, dir: dir, file: name + ".yaml", own: true}
	d.content = fmt.Appendf(nil, "# %s as I want it. What is not said here is as it was.\nswellbox: 1\nname: %s\nextends: %s\n", name, name, name)
	return d, d.unwritten()
}

// unwritten is an error if the draft's file is there already.
func (d *draft) unwritten() error {
	if _, err := os.Lstat(d.path()); err == nil {
		return fmt.Errorf("%s is there already, and stays as it is", d.path())
	} else if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("cannot look for %s: %w", d.path(), err)
	}
	return nil
}

// store is the history of the draft's folder.
func (d *draft) store() (*store.Store, error) {
	return store.Open(d.dir, store.Options{Merge: mergeByKey, MakeFolder: d.own})
}

// Written is what became of a draft, as JSON shows it.
type Written struct {
	Name      string         `json:"name"`
	File      string         `json:"file"`
	Hash      store.Hash     `json:"hash"`
	Unchanged bool           `json:"unchanged"`
	Merged    []store.Author `json:"merged"` // whose changes it was merged with
	Changes   []change.Line  `json:"changes"`
}

// save checks the new content of a draft together with all profiles and writes it.
func save(p *program.Program, lib *profiles.Library, d *draft, content []byte, note string) (*Written, error) {
	w := &Written{Name: d.name, File: d.path(), Merged: []store.Author{}, Changes: []change.Line{}}
	changes, err := consequences(lib, d, content)
	if err != nil {
		return nil, err
	}
	w.Changes = append(w.Changes, changes...)
	s, err := d.store()
	if err != nil {
		return nil, err
	}
	saved, err := s.SaveNoted(d.file, content, d.base, p.Settings.Writer(), note)
	if err != nil {
		return nil, err
	}
	w.Hash, w.Unchanged, w.Merged = saved.Hash, saved.Unchanged, append(w.Merged, saved.Merged...)
	return w, nil
}

// mergeByKey merges for the store, which wants of a conflict the keys only.
func mergeByKey(base, ours, theirs []byte) ([]byte, []string, error) {
	merged, conflicts, err := change.Merge(base, ours, theirs)
	var keys []string
	for _, c := range conflicts {
		keys = append(keys, c.Path)
	}
	return merged, keys, err
}

// consequences is what the new content of a draft changes in its profile. It is an
// error if that or another profile could be had before and cannot any more.
func consequences(lib *profiles.Library, d *draft, content []byte) ([]change.Line, error) {
	f, err := profiles.ParseAny(d.path(), content)
	if err != nil {
		return nil, err
	}
	after, err := instead(lib, d.path(), f)
	if err != nil {
		return nil, err
	}
	if f.ControllerMap != nil {
		return nil, f.ControllerMap.Check(after)
	}
	if f.Profile == nil {
		return nil, fmt.Errorf("%s would become a seating, and must stay a profile", d.path())
	}
	if f.Profile.Name != d.name {
		return nil, fmt.Errorf("%s is the profile %s and would become %s; begin another profile with swellbox profile new", d.path(), d.name, f.Profile.Name)
	}
	for _, name := range append([]string{d.name}, after.Names()...) {
		if _, err := after.Resolve(name); err != nil {
			if _, before := lib.Resolve(name); before == nil || name == d.name {
				return nil, err
			}
		}
	}
	return differences(lib, after, d.name), nil
}

// differences is how a profile of one library differs from that of another.
func differences(before, after *profiles.Library, name string) []change.Line {
	a, errA := before.Resolve(name)
	b, errB := after.Resolve(name)
	if errA != nil || errB != nil {
		return nil // what could not be had before differs in everything
	}
	return change.Diff(a, b)
}

// instead is the library with f in the place of a file, or over all if the file is
// not in it; without the file if f is empty.
func instead(lib *profiles.Library, file string, f profiles.File) (*profiles.Library, error) {
	var docs []*profiles.Document
	placed := false
	for _, name := range lib.Names() {
		layers := lib.Layers(name)
		for i := range layers {
			d := layers[len(layers)-1-i] // the weakest first
			if d.File != file {
				docs = append(docs, d)
			} else if f.Profile != nil {
				docs, placed = append(docs, f.Profile), true
			}
		}
	}
	if f.Profile != nil && !placed {
		docs = append(docs, f.Profile)
	}
	var maps []*profiles.ControllerMap
	for _, name := range lib.ControllerMaps() {
		layers := lib.ControllerMapLayers(name)
		for i := range layers {
			if m := layers[len(layers)-1-i]; m.File != file {
				maps = append(maps, m)
			}
		}
	}
	if f.ControllerMap != nil {
		maps = append(maps, f.ControllerMap)
	}
	return profiles.LibraryOf(docs, maps)
}

// tellWritten prints what became of a draft.
func tellWritten(p *program.Program, w *Written) error {
	if p.Settings.JSON {
		return p.PrintJSON(w)
	}
	if w.Unchanged {
		_, err := fmt.Fprintf(p.Out, "%s is like that already\n", w.File)
		return err
	}
	for _, l := range w.Changes {
		fmt.Fprintln(p.Out, l)
	}
	with := ""
	for _, who := range w.Merged {
		with += fmt.Sprintf(", merged with the change of %s", orNobody(who))
	}
	_, err := fmt.Fprintf(p.Out, "saved %s%s\n", w.File, with)
	return err
}

func orNobody(who store.Author) string {
	if who == "" {
		return "somebody"
	}
	return string(who)
}
