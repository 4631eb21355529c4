package change

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// Set changes one value of a profile document and leaves every other byte as it
// was: comments, order, blank lines, quotes.
//
// The path names the value by its keys and, in a list, by its place from 1 or by
// the name of its element: "vibrato.onset_ms", "sampler.level.points[2].level_db".
// The place after the last appends. The value is one line of YAML: a number, a
// word, or a list or mapping in brackets; what is not YAML is taken as text. A
// key that is not there yet is put at the end of its section, which is made too
// if need be. The ways to give a curve (curve, range_db, points) take each
// other's place. Of the comments only those go whose item is no longer there.
//
// The result is checked with [profiles.ParseAny]. On an error there is no result.
func Set(doc []byte, path, value string) ([]byte, error) {
	steps, err := parsePath(path)
	if err != nil {
		return nil, err
	}
	v, err := parseValue(value)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	s, err := read(doc)
	if err != nil {
		return nil, err
	}
	want := clone(s.root)
	if err := put(want, steps, v); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	b, err := s.rewritten(want)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if _, err := profiles.ParseAny("with "+path+" set to "+value, b); err != nil {
		return nil, err
	}
	return b, nil
}

// valueLimit is the longest value, in bytes: a list of 128 points has some 5000.
const valueLimit = 16 << 10

// parseValue reads a value as YAML or, failing that, as text.
func parseValue(value string) (*yaml.Node, error) {
	if len(value) > valueLimit {
		return nil, fmt.Errorf("the value has %d bytes, allowed are %d", len(value), valueLimit)
	}
	value = strings.TrimSpace(value)
	if value == "" {
		return nil, fmt.Errorf("the value is empty; write '\"\"' for an empty text")
	}
	if !utf8.ValidString(value) || strings.ContainsFunc(value, unicode.IsControl) {
		return nil, fmt.Errorf("the value is not one line of text")
	}
	var list yaml.Node
	if err := yaml.Unmarshal([]byte("["+value+"]"), &list); err == nil && plainList(list.Content[0]) {
		return list.Content[0].Content[0], nil
	}
	return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Style: yaml.DoubleQuotedStyle, Value: value}, nil
}

// plainList reports whether n is a list of one value without anchors and tags,
// nested no deeper than a document may be.
func plainList(n *yaml.Node) bool {
	if n.Kind != yaml.SequenceNode || len(n.Content) != 1 {
		return false
	}
	var plain func(n *yaml.Node, depth int) bool
	plain = func(n *yaml.Node, depth int) bool {
		if depth > depthLimit || n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0 {
			return false
		}
		for _, c := range n.Content {
			if !plain(c, depth+1) {
				return false
			}
		}
		return true
	}
	return plain(n, 0)
}

// put sets the value at the steps under n, and makes what is missing on the way.
func put(n *yaml.Node, steps []step, v *yaml.Node) error {
	st, last := steps[0], len(steps) == 1
	if n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" && st.index == 0 {
		*n = yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	}
	next := follow(n, st)
	switch {
	case st.index > 0 && n.Kind != yaml.SequenceNode:
		return fmt.Errorf("found no list, so there is no place %s in it", st)
	case st.index > len(n.Content)+1:
		return fmt.Errorf("the list has %d entries, so there is no place %s in it", len(n.Content), st)
	case st.index > 0 && next == nil:
		next = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Style: yaml.FlowStyle}
		n.Content = append(n.Content, next)
	case st.index == 0 && n.Kind == yaml.SequenceNode && next == nil:
		return fmt.Errorf("nothing in the list is named %q", st.name)
	case st.index == 0 && n.Kind == yaml.ScalarNode:
		return fmt.Errorf("found %s in the place of a section with the key %s; set the section as a whole", flow(n), st.name)
	case next == nil:
		next = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
		addKey(n, st.name, next)
	}
	if !last {
		return put(next, steps[1:], v)
	}
	carry(next, v)
	v.HeadComment, v.LineComment = next.HeadComment, next.LineComment
	*next = *v
	return nil
}

// carry gives the items of a new value the comments of those they take the place of.
func carry(old, v *yaml.Node) {
	for _, p := range paired(old, v) {
		from, to := p.old.noted(), p.want.noted()
		to.HeadComment, to.LineComment = from.HeadComment, from.LineComment
		carry(p.old.value, p.want.value)
	}
}

// addKey adds a key to the mapping n, or puts it in the place of what it excludes.
func addKey(n *yaml.Node, name string, value *yaml.Node) {
	var key yaml.Node
	key.SetString(name)
	if i, ok := find(n, name); ok {
		key.HeadComment, key.LineComment = i.key.HeadComment, i.key.LineComment
		*i.key, *i.value = key, yaml.Node{}
		for j, c := range n.Content {
			if c == i.value {
				n.Content[j] = value
			}
		}
		return
	}
	n.Content = append(n.Content, &key, value)
}
