package change

import (
	"bytes"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// item is an entry of a mapping, or an element of a list, which has no key.
type item struct{ key, value *yaml.Node }

func items(n *yaml.Node) []item {
	if n == nil {
		return nil
	}
	var is []item
	switch n.Kind {
	case yaml.SequenceNode:
		for _, c := range n.Content {
			is = append(is, item{nil, c})
		}
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			is = append(is, item{n.Content[i], n.Content[i+1]})
		}
	}
	return is
}

// contentOf is the reverse of items.
func contentOf(is []item) []*yaml.Node {
	var c []*yaml.Node
	for _, i := range is {
		if i.key != nil {
			c = append(c, i.key)
		}
		c = append(c, i.value)
	}
	return c
}

// curveKeys are the ways to give a curve. A mapping has exactly one of them, so
// one takes the place of another.
var curveKeys = []string{"curve", "range_db", "points"}

// id is what an item is known by among its neighbours: its key, or its name in a
// list whose elements all have one. It is empty in other lists.
func (i item) id() string {
	switch {
	case i.key == nil:
		if name, ok := find(i.value, "name"); ok {
			return name.value.Value
		}
		return ""
	case slices.Contains(curveKeys, i.key.Value):
		return curveKeys[0]
	}
	return i.key.Value
}

// noted is the node that bears the comments of the item.
func (i item) noted() *yaml.Node {
	if i.key != nil {
		return i.key
	}
	return i.value
}

// find is the item of a mapping, or of a list of named elements, by its id.
func find(n *yaml.Node, id string) (item, bool) {
	switch {
	case n == nil:
	case n.Kind == yaml.MappingNode:
		curve := slices.Contains(curveKeys, id)
		for i := 0; i+1 < len(n.Content); i += 2 {
			if key := n.Content[i]; key.Value == id || curve && slices.Contains(curveKeys, key.Value) {
				return item{key, n.Content[i+1]}, true
			}
		}
	case named(n):
		for _, c := range n.Content {
			if i := (item{nil, c}); i.id() == id {
				return i, true
			}
		}
	}
	return item{}, false
}

// named reports whether n is a list of mappings, each with a name of its own.
func named(n *yaml.Node) bool {
	if n == nil || n.Kind != yaml.SequenceNode || len(n.Content) == 0 {
		return false
	}
	seen := map[string]bool{}
	for _, c := range n.Content {
		if c.Kind != yaml.MappingNode {
			return false
		}
		name, ok := find(c, "name")
		if !ok || name.value.Kind != yaml.ScalarNode || seen[name.value.Value] {
			return false
		}
		seen[name.value.Value] = true
	}
	return true
}

// same reports whether two values say the same, however they are laid out.
func same(a, b *yaml.Node) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Kind != b.Kind || len(a.Content) != len(b.Content) {
		return false
	}
	if a.Kind == yaml.ScalarNode {
		return a.ShortTag() == b.ShortTag() && a.Value == b.Value
	}
	if a.Kind == yaml.MappingNode {
		for _, i := range items(a) {
			j, ok := find(b, i.key.Value)
			if !ok || j.key.Value != i.key.Value || !same(i.value, j.value) {
				return false
			}
		}
		return true
	}
	return slices.EqualFunc(a.Content, b.Content, same)
}

func clone(n *yaml.Node) *yaml.Node {
	m := *n
	m.Content = make([]*yaml.Node, len(n.Content))
	for i, c := range n.Content {
		m.Content[i] = clone(c)
	}
	return &m
}

// annotate moves the comments to where [read] promises them.
func (s *source) annotate(n *yaml.Node) {
	for _, i := range items(n) {
		for _, c := range []*yaml.Node{i.key, i.value} {
			if c != nil {
				c.HeadComment, c.LineComment, c.FootComment = "", "", ""
			}
		}
		if s.block(n) {
			i.noted().HeadComment = s.above(i)
			i.noted().LineComment = s.behind(i)
		}
		s.annotate(i.value)
	}
}

// start is where an item begins: its key, or the hyphen of an element.
func (s *source) start(i item) int {
	if i.key != nil {
		return s.spans[i.key].from
	}
	at := s.spans[i.value].from
	return max(bytes.LastIndexByte(s.b[:at], '-'), 0)
}

// leads reports whether nothing but white space stands before the item on its line.
func (s *source) leads(i item) bool {
	at := s.start(i)
	return len(bytes.TrimLeft(s.b[s.bol(at):at], " \ufeff")) == 0
}

// aboveStart is where the comment above the item begins, at the beginning of a line.
func (s *source) aboveStart(i item) int {
	at := s.start(i)
	from := s.bol(at)
	if !s.leads(i) {
		return at
	}
	margin := s.b[from:at]
	for from > 0 {
		before := s.bol(from - 1)
		rest, ok := bytes.CutPrefix(s.b[before:from], margin)
		if !ok || rest[0] != '#' {
			break
		}
		from = before
	}
	return from
}

// above is the comment in the lines above the item that are indented as it is.
func (s *source) above(i item) string {
	if !s.leads(i) {
		return ""
	}
	at := s.start(i)
	lines := strings.Split(string(s.b[s.aboveStart(i):s.bol(at)]), "\n")
	for l := range lines {
		lines[l] = strings.TrimSpace(lines[l])
	}
	return strings.TrimSpace(strings.Join(lines, "\n"))
}

// behindStart is where a comment behind the item would begin: after its value,
// or after its key if the value follows on lines of its own.
func (s *source) behindStart(i item) int {
	if s.block(i.value) {
		return s.afterColon(i)
	}
	return s.spans[i.value].to
}

// afterColon is the place behind the colon of the item's key, or behind its hyphen.
func (s *source) afterColon(i item) int {
	if i.key == nil {
		return s.start(i) + 1
	}
	at := s.spans[i.key].to
	if colon := bytes.IndexByte(s.b[at:], ':'); colon >= 0 {
		at += colon + 1
	}
	return at
}

// behind is the comment on the line of the item.
func (s *source) behind(i item) string {
	from := s.behindStart(i)
	if s.block(i.value) && s.eol(from) >= s.spans[i.value].from {
		return "" // "- key: value": the comment is that of the key
	}
	text := strings.TrimSpace(string(s.b[from:s.eol(from)]))
	if !strings.HasPrefix(text, "#") {
		return ""
	}
	return text
}
