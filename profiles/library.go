package profiles

import (
	"embed"
	"errors"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
)

//go:embed builtin/*.yaml
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

// Library is a set of profile documents: the built-in ones, and over them what
// was added, in that order. Of two documents with one name the later one wins,
// and may extend the one under it by naming itself: so a document "strings"
// that extends strings changes all that rests on strings.
//
// A Library is built, then read. Reading is safe for concurrent use.
type Library struct {
	layers map[string][]*Document // by name, the winner last
	count  int
}

// NewLibrary is a library of the built-in profiles.
func NewLibrary() (*Library, error) {
	l := &Library{layers: map[string][]*Document{}}
	files, err := builtin.ReadDir("builtin")
	if err != nil {
		return nil, fmt.Errorf("cannot read the built-in profiles: %w", err)
	}
	for _, f := range files {
		b, err := builtin.ReadFile(path.Join("builtin", f.Name()))
		if err != nil {
			return nil, fmt.Errorf("cannot read the built-in profiles: %w", err)
		}
		d, err := Parse("built-in "+f.Name(), b)
		if err != nil {
			return nil, err
		}
		if err := l.Add(d); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// Add lays a document over what the library holds.
func (l *Library) Add(d *Document) error {
	if l.count == documentsLimit {
		return fmt.Errorf("%s: the library is full, it holds %d documents", d.File, documentsLimit)
	}
	l.layers[d.Name] = append(l.layers[d.Name], d)
	l.count++
	return nil
}

// AddFile reads a document and adds it.
func (l *Library) AddFile(name string) error {
	b, err := readFile(name)
	if err != nil {
		return err
	}
	d, err := Parse(name, b)
	if err != nil {
		return err
	}
	return l.Add(d)
}

// AddFolder adds the documents of a folder, its files *.yaml and *.yml in the
// order of their names, not those of folders in it. A file that is wrong is left
// out and its error joined to the others, so that one broken profile does not
// silence an orchestra. Two files for one profile are an error, and the first holds.
func (l *Library) AddFolder(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("cannot read the folder of profiles: %w", err)
	}
	var errs []error
	files := map[string]string{}
	for _, e := range entries {
		ext := filepath.Ext(e.Name())
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") || ext != ".yaml" && ext != ".yml" {
			continue
		}
		file := filepath.Join(dir, e.Name())
		b, err := readFile(file)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		d, err := Parse(file, b)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		if other, twice := files[d.Name]; twice {
			errs = append(errs, fmt.Errorf("%s: the profile %s is already in %s; give one of them another name", file, d.Name, other))
			continue
		}
		files[d.Name] = file
		errs = append(errs, l.Add(d))
	}
	return errors.Join(errs...)
}

// Names are the names of all profiles, sorted.
func (l *Library) Names() []string {
	names := make([]string, 0, len(l.layers))
	for name := range l.layers {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// Lookup is the document that a name stands for.
func (l *Library) Lookup(name string) (*Document, bool) {
	stack := l.layers[name]
	if len(stack) == 0 {
		return nil, false
	}
	return stack[len(stack)-1], true
}

// Resolve makes the profile of that name, out of its document and all that it
// rests on. A fault that only shows once they are together is of type [Problems].
func (l *Library) Resolve(name string) (*expr.Profile, error) {
	chain, err := l.chain(name)
	if err != nil {
		return nil, err
	}
	return build(chain, mergedChain(chain))
}

// Show writes out the whole profile of that name as one document that extends
// nothing of its own, with the comments of the documents it was merged from.
func (l *Library) Show(name string) ([]byte, error) {
	chain, err := l.chain(name)
	if err != nil {
		return nil, err
	}
	root := mergedChain(chain)
	if _, err := build(chain, root); err != nil {
		return nil, err
	}
	return encode(without(root, "extends"))
}

func mergedChain(chain []*Document) *yaml.Node {
	root := chain[len(chain)-1].root
	for _, d := range slices.Backward(chain[:len(chain)-1]) {
		root = merged(root, d.root)
	}
	return root
}

// chain is the document of that name and all that it rests on, down to the root.
func (l *Library) chain(name string) ([]*Document, error) {
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
			return nil, extendsProblem(d, "the profiles rest on each other in a circle: %s", route(append(chain, parent)))
		}
		if len(chain) == chainLimit {
			return nil, extendsProblem(d, "the profile rests on more than %d others: %s", chainLimit-1, route(chain))
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
		return nil, extendsProblem(d, "%v", l.unknown(name))
	}
	stack := l.layers[name]
	if i := slices.Index(stack, d); i > 0 {
		return stack[i-1], nil
	}
	if d.Extends == "" {
		return nil, nil
	}
	return nil, extendsProblem(d, "the profile rests on itself, and there is no other of that name under it")
}

// unknown says that there is no profile of that name, and which is the nearest.
func (l *Library) unknown(name string) error {
	if near, ok := nearest(name, l.Names()); ok {
		return fmt.Errorf("no profile is named %q, the nearest is %q", shortened(name), near)
	}
	return fmt.Errorf("no profile is named %q", shortened(name))
}

// extendsProblem is a fault in what d rests on.
func extendsProblem(d *Document, format string, args ...any) error {
	r := &reader{file: d.File}
	at := child(d.root, "extends")
	if at == nil {
		at = d.root
	}
	r.fault(at, "extends", format, args...)
	return r.err()
}

func route(chain []*Document) string {
	names := make([]string, len(chain))
	for i, d := range chain {
		names[i] = d.Name
	}
	return strings.Join(names, " → ")
}
