package profiles

import (
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Show writes out the whole profile of that name as one document that extends
// nothing of its own, with the comments of the documents it was merged from.
func (l *Library) Show(name string) ([]byte, error) {
	_, root, err := l.whole(name, "")
	if err != nil {
		return nil, err
	}
	return encode(root)
}

// ShowOrigins is [Library.Show] for the sampler of a controller map, or without
// one for an empty name. At its head it lists the documents that were merged, and
// beside each value it tells which of them gave it.
func (l *Library) ShowOrigins(name, controllerMap string) ([]byte, error) {
	chain, root, err := l.whole(name, controllerMap)
	if err != nil {
		return nil, err
	}
	givers := map[*yaml.Node]string{}
	head := []string{fmt.Sprintf("# %s with all that it is based on. In brackets: the document that gave the value.", name)}
	for _, d := range chain {
		bracket, line := d.Name, fmt.Sprintf("#   [%s] %s", d.Name, d.Origin)
		if d.prefix != "" {
			bracket = "controller map " + controllerMap
			line = fmt.Sprintf("#   [%s] %s of %s", bracket, strings.TrimSuffix(d.prefix, "."), d.File)
			if m, ok := l.LookupControllerMap(controllerMap); ok && m.Measured != nil {
				line += ", " + m.Measured.String()
			}
		} else if d.Origin.Kind != BuiltIn {
			bracket += ", " + string(d.Origin.Kind)
			line = fmt.Sprintf("#   [%s] %s", bracket, d.File)
		}
		head = append(head, line)
		mark(d.root, bracket, givers)
	}
	annotated := noted(root, givers)
	annotated.HeadComment = strings.Join(head, "\n")
	for i := 0; i < min(len(annotated.Content), 1); i++ {
		annotated.Content[i].HeadComment = "" // what the documents said of themselves
	}
	return encode(annotated)
}

// whole is the merged tree of a profile that can be built, and what it was merged of.
func (l *Library) whole(name, controllerMap string) ([]*Document, *yaml.Node, error) {
	m, err := l.controllerMap(controllerMap)
	if err != nil {
		return nil, nil, err
	}
	chain, err := l.chainFor(name, m)
	if err != nil {
		return nil, nil, err
	}
	root := mergedChain(chain)
	if _, err := l.build(chain, root); err != nil {
		return nil, nil, err
	}
	return chain, only(root, func(key string) bool { return key != "extends" }), nil
}

// mark notes who gave each value of a tree.
func mark(n *yaml.Node, by string, givers map[*yaml.Node]string) {
	givers[n] = by
	for _, c := range n.Content {
		mark(c, by, givers)
	}
}

// noted is a copy of a mapping with its givers beside the values.
func noted(n *yaml.Node, givers map[*yaml.Node]string) *yaml.Node {
	m := *n
	m.Style &^= yaml.FlowStyle // a comment ends a line, so each value has its own
	m.Content = make([]*yaml.Node, len(n.Content))
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := *n.Content[i], *n.Content[i+1]
		m.Content[i], m.Content[i+1] = &key, &value
		giver := n.Content[i+1]
		switch {
		case value.Kind == yaml.MappingNode:
			key.LineComment = strings.TrimSpace(key.LineComment + " " + value.LineComment)
			whole := noted(giver, givers)
			whole.LineComment = ""
			m.Content[i+1] = whole
			continue
		case value.Kind == yaml.SequenceNode && key.Value == "variants":
			m.Content[i+1] = &value
			value.Style &^= yaml.FlowStyle
			value.Content = make([]*yaml.Node, len(giver.Content))
			for j, entry := range giver.Content {
				value.Content[j] = noted(entry, givers)
			}
			continue
		}
		bears := &value
		if value.Kind == yaml.SequenceNode && value.Style&yaml.FlowStyle == 0 {
			bears = &key // beside the key of a list that goes on below
		}
		bears.LineComment = strings.TrimSpace(bears.LineComment + " # [" + givers[giver] + "]")
	}
	return &m
}
