package change

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// Conflict is a key that two people changed to different values.
type Conflict struct {
	Path   string `json:"path"` // as Set takes it: "vibrato.onset_ms"
	Base   string `json:"base"` // what both started from, in one line of YAML; empty if the key was not there
	Ours   string `json:"ours"` // empty if the key was taken out
	Theirs string `json:"theirs"`
}

// String is the conflict in one line.
func (c Conflict) String() string {
	word := func(v string) string {
		if v == "" {
			return "nothing"
		}
		return v
	}
	return fmt.Sprintf("%s: ours %s, theirs %s, before %s", c.Path, word(c.Ours), word(c.Theirs), word(c.Base))
}

// Merge joins what two people made of one document, key by key: what only one of
// them changed is changed. An empty base stands for a document that was not there.
//
// A key that both changed to different values is a [Conflict]; merged then has
// ours there. Sections go key by key and lists whose elements all have a name
// (variants) element by element; every other list, points say, is one value, and
// so is the way to give a curve. 40 and 40.0 are the same value.
//
// Merged is laid out as ours. A comment above a key or behind its value, on lines
// of its own, is merged like a value, but where both changed it ours stands.
// Comments of theirs that belong to no key, because a blank line follows or
// because they stand inside brackets, are not taken over unless ours is as base is.
//
// A document that cannot be read is an error, and so is a result without
// conflicts that [profiles.ParseAny] refuses: the two changes then exclude each other.
func Merge(base, ours, theirs []byte) (merged []byte, conflicts []Conflict, err error) {
	o, err := read(ours)
	if err != nil {
		return nil, nil, fmt.Errorf("ours: %w", err)
	}
	t, err := read(theirs)
	if err != nil {
		return nil, nil, fmt.Errorf("theirs: %w", err)
	}
	b := &source{root: &yaml.Node{Kind: yaml.MappingNode}}
	if len(base) > 0 {
		if b, err = read(base); err != nil {
			return nil, nil, fmt.Errorf("what both started from: %w", err)
		}
	}
	var m merger
	want := m.value("", b.root, o.root, t.root)
	switch {
	case bytes.Equal(ours, base):
		merged = theirs
	case bytes.Equal(theirs, base):
		merged = ours
	default:
		if merged, err = o.rewritten(want); err != nil {
			return nil, nil, err
		}
	}
	if len(m.conflicts) > 0 {
		return merged, m.conflicts, nil
	}
	if _, err := profiles.ParseAny("merged", merged); err != nil {
		return nil, nil, fmt.Errorf("the two changes do not go together: %w", err)
	}
	return merged, nil, nil
}

type merger struct{ conflicts []Conflict }

// value is the merged value, nil for none. Nil arguments are values that are not there.
func (m *merger) value(path string, base, ours, theirs *yaml.Node) *yaml.Node {
	if divisible(ours) && divisible(theirs) && ours.Kind == theirs.Kind {
		return m.collection(path, base, ours, theirs)
	}
	if v, ok := chosen(base, ours, theirs); ok {
		return v
	}
	m.conflict(path, base, ours, theirs)
	return ours
}

// chosen is the value that at most one side changed, or both to the same. Who only
// spelled a number in another way has changed it if the other side did nothing.
func chosen(base, ours, theirs *yaml.Node) (*yaml.Node, bool) {
	switch {
	case same(base, theirs):
		return ours, true
	case same(base, ours):
		return theirs, true
	case alike(ours, theirs), alike(base, theirs):
		return ours, true
	case alike(base, ours):
		return theirs, true
	}
	return nil, false
}

func (m *merger) conflict(path string, base, ours, theirs *yaml.Node) {
	text := func(n *yaml.Node) string {
		if n == nil {
			return ""
		}
		return flow(n)
	}
	m.conflicts = append(m.conflicts, Conflict{path, text(base), text(ours), text(theirs)})
}

// divisible reports whether a value is merged by its items.
func divisible(n *yaml.Node) bool {
	return n != nil && (n.Kind == yaml.MappingNode || named(n))
}

// collection merges two sections, or two lists of named elements. What only
// theirs has follows what it follows there.
func (m *merger) collection(path string, base, ours, theirs *yaml.Node) *yaml.Node {
	if base == nil || base.Kind != ours.Kind || !divisible(base) {
		base = &yaml.Node{Kind: ours.Kind}
	}
	var is []item
	for _, o := range items(ours) {
		b, _ := find(base, o.id())
		t, _ := find(theirs, o.id())
		if i, ok := m.item(path, b, o, t); ok {
			is = append(is, i)
		}
	}
	before := "" // the item of theirs before, if it is in the result
	for _, t := range items(theirs) {
		if _, ok := find(ours, t.id()); !ok {
			b, _ := find(base, t.id())
			i, ok := m.item(path, b, item{}, t)
			if !ok {
				continue
			}
			at := slices.IndexFunc(is, func(i item) bool { return i.id() == before })
			if at < 0 {
				at = len(is) - 1
			}
			is = slices.Insert(is, at+1, i)
		}
		before = t.id()
	}
	c := *ours
	c.Content = contentOf(is)
	return &c
}

// item merges what two documents have under one id, and reports whether anything
// is left.
func (m *merger) item(path string, base, ours, theirs item) (item, bool) {
	at := path
	switch i := (pair{ours, theirs}).some(); {
	case i.key == nil, path == "":
		at += i.name()
	default:
		at += "." + i.name()
	}
	if base.key != nil && ours.key != nil && theirs.key != nil && !(base.key.Value == ours.key.Value && ours.key.Value == theirs.key.Value) {
		return m.renamed(at, base, ours, theirs)
	}
	if base.key == nil && ours.key != nil && theirs.key != nil && ours.key.Value != theirs.key.Value {
		m.conflict(at, nil, whole(ours), whole(theirs))
		return ours, true
	}
	v := m.value(at, base.value, ours.value, theirs.value)
	switch {
	case v == nil:
		return item{}, false
	case ours.value == nil:
		return theirs, true
	case theirs.value == nil:
		return ours, true
	}
	i := item{ours.key, v}
	if i.key == nil {
		c := *v
		i.value = &c
	} else {
		c := *i.key
		i.key = &c
	}
	b, o, t := &yaml.Node{}, ours.noted(), theirs.noted()
	if base.value != nil {
		b = base.noted()
	}
	i.noted().HeadComment = comment(b.HeadComment, o.HeadComment, t.HeadComment)
	i.noted().LineComment = comment(b.LineComment, o.LineComment, t.LineComment)
	return i, true
}

// renamed merges a curve that at least one side gives in another way than before.
func (m *merger) renamed(at string, base, ours, theirs item) (item, bool) {
	b, o, t := whole(base), whole(ours), whole(theirs)
	switch v, ok := chosen(b, o, t); {
	case !ok:
		m.conflict(at, b, o, t)
	case v == t:
		return theirs, true
	}
	return ours, true
}

// whole is an entry of a mapping as a mapping of its own.
func whole(i item) *yaml.Node {
	return &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Content: []*yaml.Node{i.key, i.value}}
}

// some is the item that is there.
func (p pair) some() item {
	if p.old.value != nil {
		return p.old
	}
	return p.want
}

// name is the item's step of a path.
func (i item) name() string {
	if i.key == nil {
		return "." + i.id()
	}
	return i.key.Value
}

// comment merges a comment like a value; where both changed it, ours stands.
func comment(base, ours, theirs string) string {
	if ours == base {
		return theirs
	}
	return ours
}

// alike reports whether two values mean the same: as [same], but numbers are
// compared as numbers.
func alike(a, b *yaml.Node) bool {
	if a == nil || b == nil {
		return a == b
	}
	if a.Kind != b.Kind || len(a.Content) != len(b.Content) {
		return false
	}
	switch a.Kind {
	case yaml.MappingNode:
		for _, i := range items(a) {
			j, ok := find(b, i.key.Value)
			if !ok || i.key.Value != j.key.Value || !alike(i.value, j.value) {
				return false
			}
		}
		return true
	case yaml.SequenceNode:
		return slices.EqualFunc(a.Content, b.Content, alike)
	}
	if same(a, b) {
		return true
	}
	x, errX := strconv.ParseFloat(a.Value, 64)
	y, errY := strconv.ParseFloat(b.Value, 64)
	return errX == nil && errY == nil && x == y && a.Style == 0 && b.Style == 0
}
