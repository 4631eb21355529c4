package profiles

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// renamed are the keys of profiles that once had other names, and what they are called now, the
// deeper ones before the sections that they stood in. Documents with the old ones keep working;
// what is read says so. A key that gets another name gets a line here, and nothing else.
var renamed = []struct{ old, now string }{
	{"dynamics.k", "marks.amount"},
	{"dynamics", "marks"},
	{"sustain.k", "bloom.amount"},
	{"sustain", "bloom"},
	{"weighting.k", "orchestra_weight.amount"},
	{"weighting.register_k", "orchestra_weight.registers"},
	{"weighting", "orchestra_weight"},
	{"vibrato.k", "vibrato.amount"},
	{"habits.high_loud", "habits.rise_and_fall"},
	{"habits.contrast", "habits.quick_notes"},
	{"habits.charge", "habits.colour_notes"},
	{"habits.yield", "habits.step_back"},
	{"habits.long_note", "bloom.long_notes"},
	{"habits.breath.k", "habits.breath.amount"},
	{"habits.pedal.k", "habits.pedal.amount"},
	{"habits.timing.k", "habits.together.amount"},
	{"habits.timing", "habits.together"},
}

// Present is the path by which a key is known now, and whether it was once known by that one.
// A path may lead into a variant: "variants.muted.vibrato.k".
func Present(path string) (now string, was bool) {
	above := ""
	if rest, ok := strings.CutPrefix(path, "variants"); ok {
		if i := strings.IndexByte(strings.TrimPrefix(rest, "."), '.'); i >= 0 {
			i += len(path) - len(strings.TrimPrefix(rest, ".")) + 1
			above, path = path[:i], path[i:]
		}
	}
	for _, r := range renamed {
		if rest, ok := strings.CutPrefix(path, r.old); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
			return above + r.now + rest, true
		}
	}
	return above + path, false
}

// modernise gives the old keys of a profile and its variants their present names and places, and
// notes each that it finds. One that is given by both names is a fault.
func (r *reader) modernise(root *yaml.Node, above string) {
	r.moderniseAt(root, above)
	if list := child(root, "variants"); list != nil && list.Kind == yaml.SequenceNode {
		for i, entry := range list.Content {
			r.moderniseAt(entry, fmt.Sprintf("%svariants[%d].", above, i+1))
		}
	}
}

// moderniseMap does so with all that a player map says of profiles.
func (r *reader) moderniseMap(root *yaml.Node) {
	r.modernise(child(root, "everyone"), "everyone.")
	for _, of := range [...]string{"families", "profiles"} {
		if answers := child(root, of); answers != nil && answers.Kind == yaml.MappingNode {
			for i := 0; i+1 < len(answers.Content); i += 2 {
				r.modernise(answers.Content[i+1], of+"."+answers.Content[i].Value+".")
			}
		}
	}
}

func (r *reader) moderniseAt(root *yaml.Node, above string) {
	for _, m := range renamed {
		old := strings.Split(m.old, ".")
		from := at(root, strings.Join(old[:len(old)-1], "."))
		i := keyIndex(from, old[len(old)-1])
		if i < 0 {
			continue
		}
		key, value := from.Content[i], from.Content[i+1]
		from.Content = slices.Delete(from.Content, i, i+2)
		if value.Kind == yaml.MappingNode && len(value.Content) == 0 && child(root, m.now) != nil {
			continue // all that it had has gone before it
		}
		if r.move(root, strings.Split(m.now, "."), key, value) {
			r.renamed = append(r.renamed, Problem{r.file, key.Line, key.Column, above + m.old, fmt.Sprintf("this key is now called %q; the old name still works", above+m.now)})
		} else {
			r.fault(key, above+m.old, "this key is now called %q, which is given too; leave one of them out", above+m.now)
		}
	}
}

// move puts a value under a path, where keys of a section join those that are there. It returns
// false if the place is taken.
func (r *reader) move(root *yaml.Node, path []string, key, value *yaml.Node) bool {
	to := root
	for _, name := range path[:len(path)-1] {
		next := child(to, name)
		if next == nil {
			next = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: key.Line, Column: key.Column}
			to.Content = append(to.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: name, Line: key.Line, Column: key.Column}, next)
		}
		to = next
	}
	name := path[len(path)-1]
	there := child(to, name)
	switch {
	case to.Kind != yaml.MappingNode:
		return false
	case there == nil:
		now := *key
		now.Value = name
		to.Content = append(to.Content, &now, value)
		return true
	case there.Kind != yaml.MappingNode || value.Kind != yaml.MappingNode:
		return false
	}
	for i := 0; i+1 < len(value.Content); i += 2 {
		if child(there, value.Content[i].Value) != nil {
			return false
		}
		there.Content = append(there.Content, value.Content[i], value.Content[i+1])
	}
	return true
}

// keyIndex is where a key stands in a mapping, or -1.
func keyIndex(n *yaml.Node, key string) int {
	if n == nil || n.Kind != yaml.MappingNode {
		return -1
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i
		}
	}
	return -1
}
