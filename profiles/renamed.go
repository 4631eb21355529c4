package profiles

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/reading"
)

// renamed are the keys that once had other names, and what they are called now: the sections
// before what stands in them, which is named with its section's present name. Documents with the
// old ones keep working; what is read says so. A key that gets another name gets a line here, and
// nothing else.
var renamed = []struct{ old, now string }{
	{"dynamics", "marks"},
	{"marks.k", "marks.amount"},
	{"marks.reading.law", "marks.reading.curve"},
	{"marks.reading.power_law_db", "marks.reading.range_db"},
	{"sustain", "bloom"},
	{"bloom.k", "bloom.amount"},
	{"weighting", "orchestra_weight"},
	{"orchestra_weight.k", "orchestra_weight.amount"},
	{"orchestra_weight.register_k", "orchestra_weight.registers"},
	{"orchestra_weight.share_db", "orchestra_weight.extra_db"},
	{"orchestra_weight.from_db", "orchestra_weight.starts_at_db"},
	{"orchestra_weight.to_db", "orchestra_weight.full_at_db"},
	{"vibrato.k", "vibrato.amount"},
	{"vibrato.choice", "vibrato.straight_notes"},
	{"habits.high_loud", "habits.rise_and_fall"},
	{"habits.contrast", "habits.quick_notes"},
	{"habits.charge", "habits.colour_notes"},
	{"habits.yield", "habits.step_back"},
	{"habits.long_note", "bloom.long_notes"},
	{"habits.breath.k", "habits.breath.amount"},
	{"habits.breath.loud_ms", "habits.breath.lasts_loud_ms"},
	{"habits.breath.soft_ms", "habits.breath.lasts_soft_ms"},
	{"habits.pedal.k", "habits.pedal.amount"},
	{"habits.timing", "habits.together"},
	{"habits.together.k", "habits.together.amount"},
	{"habits.together.sd_ms", "habits.together.spread_ms"},
	{"habits.together.hammer", "habits.together.louder_earlier"},
	{"player", "sampler"},
	{"sampler.velocity.law", "sampler.velocity.curve"},
	{"sampler.velocity.power_law_db", "sampler.velocity.range_db"},
	{"sampler.level.law", "sampler.level.curve"},
	{"sampler.level.power_law_db", "sampler.level.range_db"},
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
	for _, m := range renamed {
		if rest, ok := strings.CutPrefix(path, m.old); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
			path, was = m.now+rest, true
		}
	}
	return above + path, was
}

// Rename is an old key, or word, of a document that has another name now.
type Rename struct {
	At           *yaml.Node // as it stood in the document
	Was, Now     string     // its paths
	Word, Inside bool       // it is no key but a value; it stays in its section, so that it is enough to write its name anew
}

// Name is what is written in its place: the last name of the present path.
func (n *Rename) Name() string { return n.Now[strings.LastIndexByte(n.Now, '.')+1:] }

// problem is the rename as it is told.
func (n *Rename) problem(file string) Problem {
	what := "key"
	if n.Word {
		what = "word"
	}
	return Problem{File: file, Line: n.At.Line, Column: n.At.Column, Key: n.Was, Text: fmt.Sprintf("this %s is now called %q", what, n.Now)}
}

// Modernise gives the old keys of a document of any kind their present names and places, and
// lists those that it found. A key that is given by both names is an error, a [Problems].
func Modernise(root *yaml.Node) ([]Rename, error) {
	m := moderniser{Reader: &reading.Reader{}}
	m.document(root)
	return m.renames, m.Err()
}

// moderniser gives old keys their present names, and keeps which it found.
type moderniser struct {
	*reading.Reader
	renames []Rename
}

// document is [Modernise] for a document that is read.
func (m *moderniser) document(root *yaml.Node) {
	m.rename(root, "", "player_map", "controller_map")
	switch {
	case reading.Child(root, "seats") != nil:
		m.rename(reading.Child(root, "ensemble"), "ensemble.", "player_map", "controller_map")
		eachEntry(reading.Child(root, "seats"), func(i int, seat *yaml.Node) {
			m.rename(seat, fmt.Sprintf("seats[%d].", i+1), "player_map", "controller_map")
		})
	case reading.Child(root, "controller_map") != nil:
		m.profile(reading.Child(root, "everyone"), "everyone.")
		for _, of := range []string{"families", "profiles"} {
			for i, n := 0, reading.Child(root, of); n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
				m.profile(n.Content[i+1], of+"."+n.Content[i].Value+".")
			}
		}
	default:
		m.profile(root, "")
	}
}

// eachEntry calls do with the entries of a list.
func eachEntry(list *yaml.Node, do func(i int, entry *yaml.Node)) {
	if list == nil || list.Kind != yaml.SequenceNode {
		return
	}
	for i, entry := range list.Content {
		do(i, entry)
	}
}

// profile modernises a profile, or what a controller map says of one, and its variants.
func (m *moderniser) profile(root *yaml.Node, above string) {
	m.at(root, above)
	eachEntry(reading.Child(root, "variants"), func(i int, entry *yaml.Node) {
		m.at(entry, fmt.Sprintf("%svariants[%d].", above, i+1))
	})
}

func (m *moderniser) at(root *yaml.Node, above string) {
	var sections []Rename // as they are told: a key by the section that it was found in
	for _, k := range renamed {
		if !m.rename(root, above, k.old, k.now) {
			continue
		}
		last := &m.renames[len(m.renames)-1]
		for _, s := range slices.Backward(sections) {
			if rest, ok := strings.CutPrefix(last.Was, s.Now+"."); ok {
				last.Was = s.Was + "." + rest
			}
		}
		sections = append(sections, *last)
	}
	if n := reading.At(root, "marks.reading"); n != nil && reading.IsWord(n, "player") {
		m.renames = append(m.renames, Rename{At: copied(n), Was: above + "marks.reading: player", Now: "sampler", Word: true, Inside: true})
		n.Value = "sampler"
	}
}

// rename gives what stands under one path of a mapping another, and reports whether there was any.
func (m *moderniser) rename(root *yaml.Node, above, was, now string) bool {
	old := strings.Split(was, ".")
	from := root
	if len(old) > 1 {
		from = reading.At(root, strings.Join(old[:len(old)-1], "."))
	}
	i := keyIndex(from, old[len(old)-1])
	if i < 0 {
		return false
	}
	key, value := from.Content[i], from.Content[i+1]
	present := strings.Split(now, ".")
	name := present[len(present)-1]
	to := root
	if len(present) > 1 {
		to = reading.At(root, strings.Join(present[:len(present)-1], "."))
	}
	note := Rename{At: copied(key), Was: above + was, Now: above + now}
	if to == from && reading.Child(to, name) == nil {
		key.Value, note.Inside = name, true
		m.renames = append(m.renames, note)
		return true
	}
	from.Content = slices.Delete(from.Content, i, i+2)
	if !m.move(root, present, key, value) {
		m.Fault(key, above+was, "this key is now called %q, which is given too; leave one of them out", above+now)
		return false
	}
	m.renames = append(m.renames, note)
	return true
}

// told is what was renamed, to be told.
func (m *moderniser) told() (all Problems) {
	for i := range m.renames {
		all = append(all, m.renames[i].problem(m.File))
	}
	return all
}

func copied(n *yaml.Node) *yaml.Node {
	m := *n
	return &m
}

// move puts a value under a path, where keys of a section join those that are there. It returns
// false if the place is taken.
func (m *moderniser) move(root *yaml.Node, path []string, key, value *yaml.Node) bool {
	to := root
	for _, name := range path[:len(path)-1] {
		next := reading.Child(to, name)
		if next == nil {
			next = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: key.Line, Column: key.Column}
			to.Content = append(to.Content, &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: name, Line: key.Line, Column: key.Column}, next)
		}
		to = next
	}
	name := path[len(path)-1]
	there := reading.Child(to, name)
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
		if reading.Child(there, value.Content[i].Value) != nil {
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

// document reads b as a document of ours, of whatever kind. It returns nil after
// noting why it is none.
func document(r *reading.Reader, b []byte) (root *yaml.Node, told Problems) {
	root = r.Tree(b)
	if root == nil || !ofVersion(r, root) {
		return nil, nil
	}
	m := moderniser{Reader: r}
	m.document(root)
	return root, m.told()
}
