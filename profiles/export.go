package profiles

import (
	"bytes"
	"slices"
	"strings"

	"swellbox/profiles/reading"
)

// Bytes are those of the document as they were read. The caller owns them.
func (s *Source) Bytes() []byte { return bytes.Clone(s.text) }

// LibraryOf is a library of these documents and controller maps, the weakest first, and
// of nothing that is built in.
func LibraryOf(docs []*Document, maps []*ControllerMap) (*Library, error) {
	l := &Library{layers: map[string][]*Document{}, maps: map[string][]*ControllerMap{}}
	for _, d := range docs {
		if err := l.Add(d); err != nil {
			return nil, err
		}
	}
	for _, m := range maps {
		if err := l.AddControllerMap(m); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// Needs are all documents of which [Library.Resolve] makes the profiles of these
// names: their chains, and those of the profiles that their variants extend. A
// document comes after those of its name that it hides.
func (l *Library) Needs(names ...string) ([]*Document, error) {
	var needs []*Document
	for _, name := range names {
		chain, err := l.Chain(name)
		if err != nil {
			return nil, err
		}
		needs = append(needs, chain...)
		list := reading.Child(mergedChain(chain), "variants")
		for i := 0; list != nil && i < len(list.Content); i++ {
			extends := reading.Child(list.Content[i], "extends")
			if extends == nil {
				continue
			}
			if chain, err = l.Chain(extends.Value); err != nil {
				return nil, err
			}
			needs = append(needs, chain...)
		}
	}
	l.sort(needs)
	return slices.Compact(needs), nil
}

// sort puts documents in the order of their names, and those of one name in that of
// their layers, the weakest first.
func (l *Library) sort(docs []*Document) {
	slices.SortFunc(docs, func(a, b *Document) int {
		if a.Name != b.Name {
			return strings.Compare(a.Name, b.Name)
		}
		stack := l.layers[a.Name]
		return slices.Index(stack, a) - slices.Index(stack, b)
	})
}
