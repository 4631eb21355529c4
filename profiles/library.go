package profiles

import (
	"embed"
	"fmt"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

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
