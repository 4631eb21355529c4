package profiles

import (
	"bytes"
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/reading"
)

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

// mergedVariants is the list of parent with that of its child laid over it by
// name. An empty list drops the parent's.
func mergedVariants(parent, over *yaml.Node) *yaml.Node {
	m := *over
	m.Content = nil
	if len(over.Content) == 0 {
		return &m
	}
	for _, entry := range parent.Content {
		if theirs, _ := variant(over, reading.Child(entry, "name").Value); theirs != nil {
			entry = merged(entry, theirs)
		}
		m.Content = append(m.Content, entry)
	}
	for _, entry := range over.Content {
		if known, _ := variant(parent, reading.Child(entry, "name").Value); known == nil {
			m.Content = append(m.Content, entry)
		}
	}
	return &m
}

// variant is the entry of a name in a list of variants, or nil, and its place in the list.
func variant(list *yaml.Node, name string) (*yaml.Node, int) {
	if list == nil {
		return nil, 0
	}
	for i, entry := range list.Content {
		if n := reading.Child(entry, "name"); n != nil && n.Value == name {
			return entry, i
		}
	}
	return nil, 0
}
