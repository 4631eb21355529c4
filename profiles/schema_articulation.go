package profiles

import (
	"fmt"
	"slices"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/reading"
)

// variantsLimit is how many variants a profile has with all its parents, and
// callsLimit how many programs call one of them.
const (
	variantsLimit = 32
	callsLimit    = 16
)

// callKeys name a way of playing and say what calls it.
var callKeys = []reading.Key[draft]{
	reading.PlainName("name", "name of the way of playing, as sustained or pizzicato", func(d *draft) *string { return &d.call.name }),
	reading.Whole("keyswitch", "MIDI note that calls it, and is itself no music", 0, 127, func(d *draft) *int {
		d.call.keyswitch = new(int)
		return d.call.keyswitch
	}),
	{Name: "program", About: "program or programs that call it, from 1",
		Form: reading.Either(reading.WholeForm(1, 128), reading.ListForm(reading.WholeForm(1, 128), 1, callsLimit)), Read: readPrograms},
}

// variantKeys are what a variant may say.
var variantKeys = slices.Concat(callKeys, []reading.Key[draft]{
	reading.PlainName("extends", "the profile whose marks, bloom, orchestra weight and vibrato the variant has", func(d *draft) *string { return &d.extends }),
}, playingKeys)

func readPrograms(r *reading.Reader, n *yaml.Node, path string, to *draft) {
	entries := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		entries = n.Content
	}
	if len(entries) == 0 || len(entries) > callsLimit {
		r.Fault(n, path, "found %s, wanted a program or a list of 1 to %d", reading.Counted(n), callsLimit)
		return
	}
	to.call.programs = nil
	for _, c := range entries {
		if v, ok := r.WholeWithin(c, path, 1, 128); ok {
			to.call.programs = append(to.call.programs, v)
		}
	}
}

// readVariants checks a list of variants, which only their parents complete: they
// are read again when a profile is built.
func readVariants[T any](keys []reading.Key[draft]) func(r *reading.Reader, n *yaml.Node, path string, to *T) {
	return func(r *reading.Reader, n *yaml.Node, path string, _ *T) {
		if n.Kind != yaml.SequenceNode || len(n.Content) > variantsLimit {
			r.Fault(n, path, "found %s, wanted a list of at most %d variants", reading.Counted(n), variantsLimit)
			return
		}
		first := map[string]int{}
		for i, entry := range n.Content {
			path := fmt.Sprintf("%s[%d]", path, i+1)
			var d draft
			reading.Mapping(r, entry, path, keys, &d)
			if entry.Kind != yaml.MappingNode {
				continue
			}
			at := reading.Child(entry, "name")
			if at == nil {
				r.Fault(entry, path, "the key name is missing")
			} else if j, twice := first[d.call.name]; twice && d.call.name != "" {
				r.Fault(at, path+".name", "variants[%d] is called %q already", j, d.call.name)
			} else {
				first[d.call.name] = i + 1
			}
		}
	}
}
