package profiles

import (
	"cmp"
	"slices"
	"strings"

	"swellbox/profiles/names"
	"swellbox/profiles/reading"
)

// Called is what scores call the instruments of the library. Where two profiles claim a name or
// a program, it is that of the layer above: a user's goes before a built-in one. Of one layer, it is
// that of the profile which is based on more others, as an instrument on its family.
func (l *Library) Called() *names.Register {
	if r := l.called.Load(); r != nil {
		return r
	}
	type claim struct {
		names.Entry
		layer, based int
	}
	var claims []claim
	for _, name := range l.Names() {
		c := claim{Entry: names.Entry{Profile: name}}
		for _, d := range slices.Backward(l.layers[name]) {
			c.Called = c.Over(d.called)
			if reading.Child(d.root, "score") != nil {
				c.layer = max(c.layer, 1+slices.Index(layers, d.Origin.Kind))
			}
		}
		if chain, err := l.Chain(name); err == nil {
			c.based = len(chain)
		}
		claims = append(claims, c)
	}
	slices.SortStableFunc(claims, func(a, b claim) int {
		return cmp.Or(cmp.Compare(a.layer, b.layer), cmp.Compare(a.based, b.based), strings.Compare(a.Profile, b.Profile))
	})
	entries := make([]names.Entry, len(claims))
	for i := range claims {
		entries[i] = claims[i].Entry
	}
	r := names.NewRegister(entries)
	l.called.Store(r)
	return r
}

// layers are those of a library, from the bottom up. A document that was only parsed lies over all.
var layers = []OriginKind{BuiltIn, Installed, Studio, Own, ""}

// Voice is which instrument of the demonstration a profile sounds like. Where neither its
// document nor one that it rests on says so, it is the profile's name, by which, or by whose
// family, the demonstration finds a sound.
func (l *Library) Voice(name string) string {
	chain, err := l.Chain(name)
	if err != nil {
		return name
	}
	for _, d := range chain {
		if n := reading.Child(d.root, "voice"); n != nil {
			return n.Value
		}
	}
	return name
}
