package profiles

import (
	"go.yaml.in/yaml/v3"

	"swellbox/expr"
)

// Resolve makes the profile of that name, out of its document and all that it
// rests on. A fault that only shows once they are together is of type [Problems].
func (l *Library) Resolve(name string) (*expr.Profile, error) { return l.resolve(name, nil) }

// ResolveFor makes the profile of that name for the sampler of a controller map;
// without one for an empty name.
func (l *Library) ResolveFor(name, controllerMap string) (*expr.Profile, error) {
	m, err := l.controllerMap(controllerMap)
	if err != nil {
		return nil, err
	}
	return l.resolve(name, m)
}

func (l *Library) resolve(name string, m *ControllerMap) (*expr.Profile, error) {
	chain, err := l.chainFor(name, m)
	if err != nil {
		return nil, err
	}
	return l.build(chain, mergedChain(chain))
}

// build makes a profile of the merged documents of a chain, with its variants.
func (l *Library) build(chain []*Document, root *yaml.Node) (*expr.Profile, error) {
	c := &checker{chain: chain}
	d, err := c.read(only(root, func(key string) bool { return key != "variants" }), profileKeys)
	if err != nil {
		return nil, err
	}
	p, err := c.finish(d)
	if err != nil {
		return nil, err
	}
	p.Name = chain[0].Name
	p.Variants, err = l.variants(p, d.call, chain, root)
	if err != nil {
		return nil, err
	}
	return p, nil
}
