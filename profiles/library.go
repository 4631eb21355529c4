package profiles

import (
	"embed"
	"errors"
	"fmt"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

//go:embed builtin/*.yaml maps/*.yaml
var builtin embed.FS

// plain is the profile at the root of all others: a document that extends
// nothing rests on it.
const plain = "plain"

// documentsLimit is how many documents a library holds, and chainLimit how many
// a profile may rest on, one above the other.
const (
	documentsLimit = 1000
	chainLimit     = 16
)

// Library is a set of profile documents and controller maps: the built-in ones, and
// over them what was added, in that order. Of two documents with one name the later
// one wins, and may extend the one under it by naming itself: so a document
// "strings" that extends strings changes all that rests on strings.
//
// A Library is built, then read. Reading is safe for concurrent use.
type Library struct {
	layers map[string][]*Document // by name, the winner last
	maps   map[string][]*ControllerMap
	count  int
	called atomic.Pointer[names.Register] // nil until it is asked for
}

// NewLibrary is a library of the built-in profiles and controller maps.
func NewLibrary() (*Library, error) {
	docs, err := builtIns()
	if err != nil {
		return nil, err
	}
	l := &Library{layers: map[string][]*Document{}, maps: map[string][]*ControllerMap{}}
	for _, d := range docs {
		if err := l.Add(d); err != nil {
			return nil, err
		}
	}
	known, err := builtInMaps()
	if err != nil {
		return nil, err
	}
	for _, m := range known {
		l.maps[m.Name] = []*ControllerMap{m}
	}
	return l, nil
}

// builtIns are the built-in documents. They are parsed once: a library is made anew
// at every save while music plays, and documents do not change.
var builtIns = sync.OnceValues(func() ([]*Document, error) {
	files, err := builtin.ReadDir("builtin")
	if err != nil {
		return nil, fmt.Errorf("cannot read the built-in profiles: %w", err)
	}
	docs := make([]*Document, len(files))
	for i, f := range files {
		b, err := builtin.ReadFile(path.Join("builtin", f.Name()))
		if err != nil {
			return nil, fmt.Errorf("cannot read the built-in profiles: %w", err)
		}
		if docs[i], err = Parse("built-in "+f.Name(), b); err != nil {
			return nil, err
		}
		docs[i].Origin = Origin{Kind: BuiltIn}
	}
	return docs, nil
})

// builtInMaps are the built-in controller maps, for samplers of the usual kinds.
var builtInMaps = sync.OnceValues(func() ([]*ControllerMap, error) {
	files, err := builtin.ReadDir("maps")
	if err != nil {
		return nil, fmt.Errorf("cannot read the built-in controller maps: %w", err)
	}
	all := make([]*ControllerMap, len(files))
	for i, f := range files {
		b, err := builtin.ReadFile(path.Join("maps", f.Name()))
		if err != nil {
			return nil, fmt.Errorf("cannot read the built-in controller maps: %w", err)
		}
		if all[i], err = ParseControllerMap("built-in "+f.Name(), b); err != nil {
			return nil, err
		}
		all[i].Origin = Origin{Kind: BuiltIn}
	}
	return all, nil
})

// Add lays a document over what the library holds.
func (l *Library) Add(d *Document) error {
	if err := l.room(d.File); err != nil {
		return err
	}
	l.layers[d.Name] = append(l.layers[d.Name], d)
	l.called.Store(nil)
	return nil
}

// AddControllerMap lays a controller map over what the library holds.
func (l *Library) AddControllerMap(m *ControllerMap) error {
	if err := l.room(m.File); err != nil {
		return err
	}
	l.maps[m.Name] = append(l.maps[m.Name], m)
	return nil
}

var errFull = fmt.Errorf("the library is full, it holds %d documents", documentsLimit)

// room counts one more document.
func (l *Library) room(file string) error {
	if l.count == documentsLimit {
		return fmt.Errorf("%s: %w", file, errFull)
	}
	l.count++
	return nil
}

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

func (l *Library) add(f File, origin Origin) error {
	switch {
	case f.Profile != nil:
		f.Profile.Origin = origin
		return l.Add(f.Profile)
	case f.ControllerMap != nil:
		f.ControllerMap.Origin = origin
		return l.AddControllerMap(f.ControllerMap)
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

// Names are the names of all profiles, sorted.
func (l *Library) Names() []string { return slices.Sorted(maps.Keys(l.layers)) }

// Lookup is the document that a name stands for.
func (l *Library) Lookup(name string) (*Document, bool) { return top(l.layers[name]) }

// Layers are the documents of a name: the one that it stands for, then those under
// it, each hidden by the one before.
func (l *Library) Layers(name string) []*Document { return downward(l.layers[name]) }

// Renamed are the keys of all documents that have other names now.
func (l *Library) Renamed() (all Problems) {
	for _, name := range l.Names() {
		for _, d := range l.layers[name] {
			all = append(all, d.Renamed...)
		}
	}
	for _, name := range l.ControllerMaps() {
		for _, m := range l.maps[name] {
			all = append(all, m.Renamed...)
		}
	}
	return all
}

// ControllerMaps are the names of all controller maps, sorted.
func (l *Library) ControllerMaps() []string { return slices.Sorted(maps.Keys(l.maps)) }

// LookupControllerMap is the controller map that a name stands for.
func (l *Library) LookupControllerMap(name string) (*ControllerMap, bool) { return top(l.maps[name]) }

// ControllerMapLayers are the controller maps of a name, as [Library.Layers] are the documents of one.
func (l *Library) ControllerMapLayers(name string) []*ControllerMap { return downward(l.maps[name]) }

func top[D any](stack []*D) (*D, bool) {
	if len(stack) == 0 {
		return nil, false
	}
	return stack[len(stack)-1], true
}

func downward[D any](stack []*D) []*D {
	down := slices.Clone(stack)
	slices.Reverse(down)
	return down
}

// Resolve makes the profile of that name, out of its document and all that it
// rests on. A fault that only shows once they are together is of type [Problems].
func (l *Library) Resolve(name string) (*expr.Profile, error) { return l.resolve(name, nil) }

// ResolveFor makes the profile of that name for the sampler of a controller map;
// without one for an empty name.
func (l *Library) ResolveFor(name, controllerMap string) (*expr.Profile, error) {
	m, err := l.controllerMap(controllerMap)
	if err != nil {
		return nil, err
	}
	return l.resolve(name, m)
}

func (l *Library) resolve(name string, m *ControllerMap) (*expr.Profile, error) {
	chain, err := l.chainFor(name, m)
	if err != nil {
		return nil, err
	}
	return l.build(chain, mergedChain(chain))
}

// controllerMap is the controller map of that name, nil for an empty one.
func (l *Library) controllerMap(name string) (*ControllerMap, error) {
	if m, ok := l.LookupControllerMap(name); ok || name == "" {
		return m, nil
	}
	if near, ok := reading.Nearest(name, l.ControllerMaps()); ok {
		return nil, fmt.Errorf("no controller map is named %q, the nearest is %q", reading.Shortened(name), near)
	}
	return nil, fmt.Errorf("no controller map is named %q; there are %s", reading.Shortened(name), strings.Join(l.ControllerMaps(), ", "))
}

// HasControllerMap is an error if there is no controller map of that name.
func (l *Library) HasControllerMap(name string) error {
	_, err := l.controllerMap(name)
	return err
}

// chainFor is the chain of a profile with what a controller map says over it.
func (l *Library) chainFor(name string, m *ControllerMap) ([]*Document, error) {
	chain, err := l.Chain(name)
	if err != nil || m == nil {
		return chain, err
	}
	return m.over(chain)
}

func mergedChain(chain []*Document) *yaml.Node {
	below := chain[len(chain)-1]
	root := below.root
	for _, d := range slices.Backward(chain[:len(chain)-1]) {
		if d.Name != below.Name {
			root = only(root, func(key string) bool { return key != "score" }) // its own, see scoreKey
		}
		root, below = merged(root, d.root), d
	}
	return root
}

// Chain is the document of that name and all that it rests on, down to the root.
func (l *Library) Chain(name string) ([]*Document, error) {
	d, ok := l.Lookup(name)
	if !ok {
		return nil, l.unknown(name)
	}
	chain := []*Document{d}
	for {
		parent, err := l.parent(d)
		if err != nil {
			return nil, err
		}
		if parent == nil {
			return chain, nil
		}
		if slices.Contains(chain, parent) {
			return nil, d.problem("extends", "the profiles are based on each other in a circle: %s", route(append(chain, parent)))
		}
		if len(chain) == chainLimit {
			return nil, d.problem("extends", "the profile is based on more than %d others: %s", chainLimit-1, route(chain))
		}
		chain = append(chain, parent)
		d = parent
	}
}

// parent is the document that d rests on, nil for the root.
func (l *Library) parent(d *Document) (*Document, error) {
	name := d.Extends
	if name == "" {
		name = plain
	}
	if name != d.Name {
		if p, ok := l.Lookup(name); ok {
			return p, nil
		}
		return nil, d.problem("extends", "%v", l.unknown(name))
	}
	stack := l.layers[name]
	if i := slices.Index(stack, d); i > 0 {
		return stack[i-1], nil
	}
	if d.Extends == "" {
		return nil, nil
	}
	return nil, d.problem("extends", "the profile is based on itself, and there is no other of that name under it")
}

// unknown says that there is no profile of that name, and which is the nearest.
func (l *Library) unknown(name string) error {
	if near, ok := reading.Nearest(name, l.Names()); ok {
		return fmt.Errorf("no profile is named %q, the nearest is %q", reading.Shortened(name), near)
	}
	return fmt.Errorf("no profile is named %q", reading.Shortened(name))
}

func route(chain []*Document) string {
	names := make([]string, len(chain))
	for i, d := range chain {
		names[i] = d.Name
	}
	return strings.Join(names, " → ")
}
