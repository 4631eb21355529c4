package change

import (
	"fmt"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// Update is a document of any kind with the present names of its keys, and what was renamed.
// A key that stays in its section is written anew where it stands; everything else is left
// byte for byte, comments too. A document that has no old keys comes back as it is.
//
// What it gives reads as the document itself does. On an error there is no result.
func Update(doc []byte) ([]byte, []profiles.Rename, error) {
	s, err := read(doc)
	if err != nil {
		return nil, nil, err
	}
	want := clone(s.root)
	renames, err := profiles.Modernise(want)
	if err != nil || len(renames) == 0 {
		return doc, nil, err
	}
	b, moved, err := s.renamed(renames)
	if err != nil {
		return nil, nil, err
	}
	if moved {
		if s, err = read(b); err != nil {
			return nil, nil, err
		}
		tree := clone(s.root)
		if _, err := profiles.Modernise(tree); err != nil {
			return nil, nil, err
		}
		if b, err = s.rewritten(tree); err != nil {
			return nil, nil, err
		}
	}
	if got, err := read(b); err != nil || !sameKeys(got.root, want) {
		return nil, nil, errLayout
	}
	return b, renames, nil
}

// renamed is the document with new names where a name is all that changes, and whether
// anything must move as well.
func (s *source) renamed(renames []profiles.Rename) (b []byte, moved bool, err error) {
	r := &rewriter{source: s}
	for i := range renames {
		n := &renames[i]
		if !n.Inside {
			moved = true
			continue
		}
		old := nodeAt(s.root, n.At)
		if old == nil {
			return nil, false, fmt.Errorf("%s: %w", n.Was, errLayout)
		}
		at := s.spans[old]
		r.put(at.from, at.to, n.Name())
	}
	b, err = r.apply()
	return b, moved, err
}

// nodeAt is the node that stands where another does, which is a copy of it.
func nodeAt(root, like *yaml.Node) *yaml.Node {
	if root.Line == like.Line && root.Column == like.Column && root.Kind == like.Kind && root.Value == like.Value {
		return root
	}
	for _, c := range root.Content {
		if n := nodeAt(c, like); n != nil {
			return n
		}
	}
	return nil
}

// sameKeys is [same] for mappings whose keys may stand in any order.
func sameKeys(a, b *yaml.Node) bool {
	if a.Kind != b.Kind || len(a.Content) != len(b.Content) {
		return false
	}
	switch a.Kind {
	case yaml.MappingNode:
		for i := 0; i+1 < len(a.Content); i += 2 {
			other, found := find(b, a.Content[i].Value)
			if !found || !sameKeys(a.Content[i+1], other.value) {
				return false
			}
		}
		return true
	case yaml.SequenceNode:
		for i := range a.Content {
			if !sameKeys(a.Content[i], b.Content[i]) {
				return false
			}
		}
		return true
	}
	return same(a, b)
}
