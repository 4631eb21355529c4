package profiles

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
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
	return Problem{file, n.At.Line, n.At.Column, n.Was, fmt.Sprintf("this %s is now called %q", what, n.Now)}
}

// Modernise gives the old keys of a document of any kind their present names and places, and
// lists those that it found. A key that is given by both names is an error, a [Problems].
func Modernise(root *yaml.Node) ([]Rename, error) {
	r := &reader{}
	r.modernise(root)
	return r.renames, r.err()
}

// modernise is [Modernise] for a document that is read.
func (r *reader) modernise(root *yaml.Node) {
	r.rename(root, "", "player_map", "controller_map")
	switch {
	case child(root, "seats") != nil:
		r.rename(child(root, "ensemble"), "ensemble.", "player_map", "controller_map")
		eachEntry(child(root, "seats"), func(i int, seat *yaml.Node) {
			r.rename(seat, fmt.Sprintf("seats[%d].", i+1), "player_map", "controller_map")
		})
	case child(root, "controller_map") != nil:
		r.moderniseProfile(child(root, "everyone"), "everyone.")
		for _, of := range []string{"families", "profiles"} {
			for i, n := 0, child(root, of); n != nil && n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
				r.moderniseProfile(n.Content[i+1], of+"."+n.Content[i].Value+".")
			}
		}
	default:
		r.moderniseProfile(root, "")
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

// moderniseProfile modernises a profile, or what a controller map says of one, and its variants.
func (r *reader) moderniseProfile(root *yaml.Node, above string) {
	r.moderniseAt(root, above)
	eachEntry(child(root, "variants"), func(i int, entry *yaml.Node) {
		r.moderniseAt(entry, fmt.Sprintf("%svariants[%d].", above, i+1))
	})
}

func (r *reader) moderniseAt(root *yaml.Node, above string) {
	var sections []Rename // as they are told: a key by the section that it was found in
	for _, m := range renamed {
		if !r.rename(root, above, m.old, m.now) {
			continue
		}
		last := &r.renames[len(r.renames)-1]
		for _, s := range slices.Backward(sections) {
			if rest, ok := strings.CutPrefix(last.Was, s.Now+"."); ok {
				last.Was = s.Was + "." + rest
			}
		}
		sections = append(sections, *last)
	}
	if n := at(root, "marks.reading"); n != nil && isWord(n, "player") {
		r.renames = append(r.renames, Rename{At: copied(n), Was: above + "marks.reading: player", Now: "sampler", Word: true, Inside: true})
		n.Value = "sampler"
	}
}

// rename gives what stands under one path of a mapping another, and reports whether there was any.
func (r *reader) rename(root *yaml.Node, above, was, now string) bool {
	old := strings.Split(was, ".")
	from := root
	if len(old) > 1 {
		from = at(root, strings.Join(old[:len(old)-1], "."))
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
		to = at(root, strings.Join(present[:len(present)-1], "."))
	}
	note := Rename{At: copied(key), Was: above + was, Now: above + now}
	if to == from && child(to, name) == nil {
		key.Value, note.Inside = name, true
		r.renames = append(r.renames, note)
		return true
	}
	from.Content = slices.Delete(from.Content, i, i+2)
	if !r.move(root, present, key, value) {
		r.fault(key, above+was, "this key is now called %q, which is given too; leave one of them out", above+now)
		return false
	}
	r.renames = append(r.renames, note)
	return true
}

// told is what was renamed, to be told.
func (r *reader) told() (all Problems) {
	for i := range r.renames {
		all = append(all, r.renames[i].problem(r.file))
	}
	return all
}

func copied(n *yaml.Node) *yaml.Node {
	m := *n
	return &m
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
