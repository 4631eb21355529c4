package profiles

import (
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// Document is one profile document, which may rest on others. It is read-only.
type Document struct {
	Source
	Name    string   // the profile it describes
	Extends string   // the profile it rests on; empty for "plain"
	Renamed Problems // its keys that have other names now, each with the new one
	root    *yaml.Node
	called  names.Called
	prefix  string // where root lies in its file, if it is a part of it
}

// Parse reads a profile document. file is what its errors call it. An error is
// of type [Problems] and holds all that is wrong with the document by itself;
// what only shows together with its parents is found by [Library.Resolve].
func Parse(file string, b []byte) (*Document, error) {
	r := &reading.Reader{File: file}
	root, told := document(r, b)
	if root == nil {
		return nil, r.Err()
	}
	return readProfile(r, root, told, b)
}

// readProfile reads a profile from its tree.
func readProfile(r *reading.Reader, root *yaml.Node, told Problems, b []byte) (*Document, error) {
	var d draft
	reading.Mapping(r, root, "", profileKeys, &d)
	if reading.Child(root, "name") == nil {
		r.Fault(root, "name", "the key is missing: which profile is this?")
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &Document{Source: sourceOf(r.File, b), Name: d.profile.Name, Extends: d.extends, Renamed: told, root: root, called: d.called}, nil
}

// problem is a fault of d at a key, or at its beginning if it does not have the key.
func (d *Document) problem(key, format string, args ...any) Problems {
	r := &reading.Reader{File: d.File}
	n := reading.At(d.root, key)
	if n == nil {
		n = d.root
	}
	r.Fault(n, d.prefix+key, format, args...)
	return r.Problems
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
