package profiles

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/expr"
	"swellbox/profiles/reading"
)

// A variant is another way of playing the same part. It is a profile laid in
// three layers, the weakest first:
//
//  1. the profile that has it, with all its parents;
//  2. of the profile that the variant extends, if it extends one, with all its
//     parents: its instrument and the habits that are sections of their own, and nothing else, so
//     that the family, the players and the sampler stay; not the dynamics
//     either if the sampler has nothing to carry them, as pizzicato by
//     velocity where velocity is none;
//  3. the variant's own keys.
//
// Variants of parent and child with one name are one variant, merged key by key.

// music are the sections that a variant takes from the profile that it extends.
var music = append([]string{"instrument"}, ownNames()...)

// variants makes the ways of playing of the profile p, itself the first.
func (l *Library) variants(p *expr.Profile, own call, chain []*Document, root *yaml.Node) ([]expr.Variant, error) {
	list := reading.Child(root, "variants")
	if list == nil || len(list.Content) == 0 {
		return nil, nil
	}
	c := &checker{chain: chain}
	if len(list.Content) > variantsLimit {
		c.fault(keys("variants"), "found %d variants with those of the parents, allowed are %d", len(list.Content), variantsLimit)
		return nil, c.problems
	}
	calls := []call{own}
	ways := []*expr.Profile{p}
	var errs []error
	for _, entry := range list.Content {
		way, d, err := l.variant(chain, root, entry)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		way.Name = p.Name
		calls, ways = append(calls, d.call), append(ways, way)
	}
	c.calls(calls)
	if len(c.problems) > 0 {
		errs = append(errs, c.problems)
	}
	if err := gathered(errs); err != nil {
		return nil, err
	}
	var out []expr.Variant
	for i, way := range ways {
		out = append(out, calls[i].variants(way)...)
	}
	return out, nil
}

// variants are the entries by which the engine knows a way of playing: one, or one
// for each of its programs.
func (c call) variants(way *expr.Profile) []expr.Variant {
	first := expr.Variant{Name: c.name, Keyswitch: -1, Program: -1, Profile: way}
	out := []expr.Variant{first}
	for i, program := range c.programs {
		if i > 0 {
			out = append(out, first)
		}
		out[i].Program = program - 1
	}
	if c.keyswitch != nil {
		out[0].Keyswitch = *c.keyswitch
	}
	return out
}

// variant makes one way of playing of its merged entry. root is the profile that has
// it, merged.
func (l *Library) variant(chain []*Document, root, entry *yaml.Node) (*expr.Profile, *draft, error) {
	name := reading.Child(entry, "name").Value
	layers := entries(chain, name)
	tree := only(root, func(key string) bool { return key != "articulation" && key != "variants" })
	if extends := reading.Child(entry, "extends"); extends != nil {
		theirs, err := l.Chain(extends.Value)
		if err != nil {
			return nil, nil, extendsProblem(layers, extends, err)
		}
		musical := func(key string) bool { return slices.Contains(music, key) }
		whole := merged(tree, only(mergedChain(theirs), musical))
		if !carried(merged(whole, entry)) {
			musical = func(key string) bool { return key != expr.KeyMarks && slices.Contains(music, key) }
			whole = merged(tree, only(mergedChain(theirs), musical))
		}
		tree = whole
		for _, d := range theirs {
			layers = append(layers, &Document{Source: d.Source, root: only(d.root, musical), prefix: d.prefix})
		}
	}
	tree = merged(tree, only(entry, func(key string) bool { return key != "extends" }))
	c := &checker{chain: append(layers, chain...), variant: name}
	d, err := c.read(tree, wayKeys)
	if err != nil {
		return nil, nil, err
	}
	d.call.name = name
	p, err := c.finish(d)
	return p, d, err
}

// entries are what the documents of a chain say of a variant, the strongest first, up
// to one that drops the variants of those under it.
func entries(chain []*Document, name string) []*Document {
	var layers []*Document
	for _, d := range chain {
		list := reading.Child(d.root, "variants")
		if own, i := variant(list, name); own != nil {
			layers = append(layers, d.variant(own, i))
		}
		if list != nil && len(list.Content) == 0 {
			break
		}
	}
	return layers
}

// variant is the entry of d's variants at the place i as a document of its own.
func (d *Document) variant(entry *yaml.Node, i int) *Document {
	return &Document{Source: d.Source, Name: d.Name, root: entry, prefix: fmt.Sprintf("%svariants[%d].", d.prefix, i+1)}
}

// extendsProblem gives an error its place if it is that no profile has the name.
func extendsProblem(layers []*Document, extends *yaml.Node, err error) error {
	for _, d := range layers {
		if _, placed := err.(Problems); !placed && reading.Child(d.root, "extends") == extends {
			return d.problem("extends", "%v", err)
		}
	}
	return err
}

// carried reports whether the sampler has what carries the dynamics of a profile.
func carried(root *yaml.Node) bool {
	by := func(key, word string) bool { n := reading.At(root, key); return n != nil && reading.IsWord(n, word) }
	both := by("marks.carried_by", "both")
	velocity := both || by("marks.carried_by", "velocity") || by("marks.reading", "sampler")
	level := both || by("marks.carried_by", "controller")
	return !(velocity && by("sampler.velocity", "none") || level && by("sampler.level", "none"))
}

// calls checks that no two ways of playing have one name or answer to one call.
func (c *checker) calls(calls []call) {
	names, keyswitches, programs := map[string]bool{}, map[int]string{}, map[int]string{}
	for i, call := range calls {
		if names[call.name] {
			c.fault(keys("articulation.name", "variants"), "a variant is called %q too", call.name)
		}
		names[call.name] = true
		if call.keyswitch != nil {
			if other, taken := keyswitches[*call.keyswitch]; taken {
				c.called(i, call, "keyswitch", "the keyswitch %d calls %s already", *call.keyswitch, other)
			}
			keyswitches[*call.keyswitch] = call.name
		}
		for _, program := range call.programs {
			if other, taken := programs[program]; taken {
				c.called(i, call, "program", "the program %d calls %s already", program, other)
			}
			programs[program] = call.name
		}
	}
}

// called notes a problem with what calls a way of playing, where the strongest
// document that has a say gives it.
func (c *checker) called(i int, way call, key, format string, args ...any) {
	if i == 0 {
		c.fault(keys("articulation."+key), format, args...)
		return
	}
	for _, d := range entries(c.chain, way.name) {
		if reading.Child(d.root, key) != nil {
			c.problems = append(c.problems, d.problem(key, format, args...)...)
			return
		}
	}
}

// Keep is the one way of playing of a profile, for a part that keeps to it: no
// keyswitch or program calls another.
func Keep(p *expr.Profile, articulation string) (*expr.Profile, error) {
	var names []string
	for _, v := range p.Variants {
		if v.Name == articulation {
			way := *v.Profile
			way.Variants = nil
			return &way, nil
		}
		if !slices.Contains(names, v.Name) {
			names = append(names, v.Name)
		}
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("the profile %s has no articulation but its own, found %q", p.Name, reading.Shortened(articulation))
	}
	hint := ""
	if near, ok := reading.Nearest(articulation, names); ok {
		hint = fmt.Sprintf(", the nearest is %q", near)
	}
	return nil, fmt.Errorf("the profile %s has no articulation %q%s; it has %s", p.Name, reading.Shortened(articulation), hint, strings.Join(names, ", "))
}
