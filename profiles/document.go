package profiles

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"

	"go.yaml.in/yaml/v3"
)

// Document is one profile document, which may rest on others. It is read-only.
type Document struct {
	Name    string // the profile it describes
	Extends string // the profile it rests on; empty for "plain"
	File    string // where it comes from, as given to Parse
	root    *yaml.Node
}

// Parse reads a profile document. file is what its errors call it. An error is
// of type [Problems] and holds all that is wrong with the document by itself;
// what only shows together with its parents is found by [Library.Resolve].
func Parse(file string, b []byte) (*Document, error) {
	r := &reader{file: file}
	root := r.tree(b)
	if root == nil || !r.ofVersion(root) {
		return nil, r.err()
	}
	var d draft
	mapping(r, root, "", profileKeys, &d)
	if child(root, "name") == nil {
		r.fault(root, "name", "the key is missing: which profile is this?")
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return &Document{Name: d.profile.Name, Extends: d.extends, File: file, root: root}, nil
}

// readFile reads no more of a file than a document may have, and one byte, by
// which Parse knows that it is too long.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, DocumentLimit+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read the document: %w", err)
	}
	return b, nil
}

// merged is the mapping parent with child laid over it, key by key. Lists and
// plain values are the child's whole, and so is the way a curve is given.
func merged(parent, over *yaml.Node) *yaml.Node {
	m := *parent
	m.Content = nil
	recurved := slices.ContainsFunc(responseKeys, func(k string) bool { return child(over, k) != nil })
	for i := 0; i+1 < len(parent.Content); i += 2 {
		name, value := parent.Content[i], parent.Content[i+1]
		theirs := child(over, name.Value)
		switch {
		case theirs == nil && recurved && slices.Contains(responseKeys, name.Value):
		case theirs == nil:
			m.Content = append(m.Content, name, value)
		case theirs.Kind == yaml.MappingNode && value.Kind == yaml.MappingNode:
			m.Content = append(m.Content, keyOf(over, theirs), merged(value, theirs))
		default:
			m.Content = append(m.Content, keyOf(over, theirs), theirs)
		}
	}
	for i := 0; i+1 < len(over.Content); i += 2 {
		if child(parent, over.Content[i].Value) == nil {
			m.Content = append(m.Content, over.Content[i], over.Content[i+1])
		}
	}
	return &m
}

// keyOf is the key of a value in the mapping n, with the comments that it bears.
func keyOf(n, value *yaml.Node) *yaml.Node { return n.Content[slices.Index(n.Content, value)-1] }

// without is the mapping n without one of its keys.
func without(n *yaml.Node, key string) *yaml.Node {
	m := *n
	m.Content = slices.Clone(n.Content)
	if v := child(n, key); v != nil {
		i := slices.Index(m.Content, v)
		m.Content = slices.Delete(m.Content, i-1, i+1)
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
