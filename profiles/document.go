package profiles

import (
	"bytes"
	"fmt"
	"slices"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"

	"go.yaml.in/yaml/v3"
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

// merged is the mapping parent with child laid over it, key by key. Lists and
// plain values are the child's whole, and so is the way a curve is given; variants
// are merged by their names.
func merged(parent, over *yaml.Node) *yaml.Node {
	m := *parent
	m.Content = nil
	if over.LineComment != "" {
		m.LineComment = over.LineComment
	}
	recurved := slices.ContainsFunc(responseKeys, func(k string) bool { return reading.Child(over, k) != nil })
	for i := 0; i+1 < len(parent.Content); i += 2 {
		name, value := parent.Content[i], parent.Content[i+1]
		theirs := reading.Child(over, name.Value)
		switch {
		case theirs == nil && recurved && slices.Contains(responseKeys, name.Value):
		case theirs == nil:
			m.Content = append(m.Content, name, value)
		case name.Value == "variants" && theirs.Kind == yaml.SequenceNode:
			m.Content = append(m.Content, keyOf(over, theirs), mergedVariants(value, theirs))
		case theirs.Kind == yaml.MappingNode && value.Kind == yaml.MappingNode:
			m.Content = append(m.Content, keyOf(over, theirs), merged(value, theirs))
		default:
			m.Content = append(m.Content, keyOf(over, theirs), theirs)
		}
	}
	for i := 0; i+1 < len(over.Content); i += 2 {
		if reading.Child(parent, over.Content[i].Value) == nil {
			m.Content = append(m.Content, over.Content[i], over.Content[i+1])
		}
	}
	return &m
}

// keyOf is the key of a value in the mapping n, with the comments that it bears.
func keyOf(n, value *yaml.Node) *yaml.Node { return n.Content[slices.Index(n.Content, value)-1] }

// only is the mapping n with those of its keys that are wanted.
func only(n *yaml.Node, wanted func(key string) bool) *yaml.Node {
	m := *n
	m.Content = nil
	for i := 0; i+1 < len(n.Content); i += 2 {
		if wanted(n.Content[i].Value) {
			m.Content = append(m.Content, n.Content[i], n.Content[i+1])
		}
	}
	return &m
}

// encode writes a tree as a document.
func encode(root *yaml.Node) ([]byte, error) {
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := e.Encode(root); err != nil {
		return nil, fmt.Errorf("cannot write the document: %w", err)
	}
	if err := e.Close(); err != nil {
		return nil, fmt.Errorf("cannot write the document: %w", err)
	}
	return b.Bytes(), nil
}
