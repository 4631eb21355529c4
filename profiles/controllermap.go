package profiles

import (
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"
)

// ControllerMap is how one sampler answers, for many profiles: its controllers,
// responses, keyswitches and programs. With a map to each, one musical profile
// serves several samplers. It is read-only.
//
// What a map says is laid over the merged profile, the weakest first: what it says
// of everyone, of the profile's family, of each profile that the profile rests on,
// from the root up, and of the profile itself. A variant that a map speaks of and
// the profile does not have is passed over, unless the map names that very profile.
type ControllerMap struct {
	Source
	Name    string
	Renamed Problems // its keys that have other names now, each with the new one
	root    *yaml.Node
}

// answersLimit is how many profiles a controller map speaks of.
const answersLimit = 1000

// answerKeys are what a controller map may say of a profile: no music.
var answerKeys = []key[draft]{
	playerKey,
	section("marks", "how the level gets to the sampler", carriedByKey),
	section("articulation", "what calls the profile's own way of playing", callKeys[1:]...),
	{"variants", "what calls the variants of the profile, and how the sampler answers in them",
		listForm(object(variantAnswerKeys, "name"), 0, variantsLimit), readVariants[draft](variantAnswerKeys)},
}

var variantAnswerKeys = append(slices.Clone(callKeys), playerKey)

// answerRef stands for the form of what a map says of a profile, which is long and
// has many places in the schema.
var answerRef = form{"$ref": "#/$defs/answer"}

// mapDraft is a controller map while it is read.
type mapDraft struct{ name string }

var mapKeys = []key[mapDraft]{
	versionKey[mapDraft](),
	plainName("controller_map", "name of the controller map: lower-case letters, digits and single hyphens", func(m *mapDraft) *string { return &m.name }),
	answer("everyone", "of all profiles"),
	section("families", "of the profiles of a family", familyAnswers()...),
	{"profiles", "of a profile and all that are based on it, by its name",
		form{"type": "object", "propertyNames": nameForm, "additionalProperties": answerRef, "maxProperties": answersLimit}, readAnswers},
}

// answer is a key for what a controller map says of some profiles.
func answer(name, about string) key[mapDraft] {
	return key[mapDraft]{name, about, answerRef, readAnswer}
}

func familyAnswers() []key[mapDraft] {
	ks := make([]key[mapDraft], len(families))
	for i, f := range families {
		ks[i] = answer(f.word, "of the family "+f.word)
	}
	return ks
}

func readAnswer(r *reader, n *yaml.Node, path string, _ *mapDraft) {
	var d draft
	mapping(r, n, path, answerKeys, &d)
}

func readAnswers(r *reader, n *yaml.Node, path string, to *mapDraft) {
	if n.Kind != yaml.MappingNode || len(n.Content)/2 > answersLimit {
		r.fault(n, path, "found %s, wanted the names of at most %d profiles with what the sampler does in them", counted(n), answersLimit)
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content) && !r.full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		if !r.named(name, path) {
			continue
		}
		if seen[name.Value] {
			r.fault(name, join(path, name.Value), "the key is given twice")
		}
		seen[name.Value] = true
		readAnswer(r, value, join(path, name.Value), to)
	}
}

// ParseControllerMap reads a controller map. file is what its errors call it. An error is of
// type [Problems] and holds all that is wrong with the document by itself.
func ParseControllerMap(file string, b []byte) (*ControllerMap, error) {
	r := &reader{file: file}
	root := r.document(b)
	if root == nil {
		return nil, r.err()
	}
	return r.controllerMap(root, b)
}

// controllerMap reads a controller map from its tree.
func (r *reader) controllerMap(root *yaml.Node, b []byte) (*ControllerMap, error) {
	var m mapDraft
	mapping(r, root, "", mapKeys, &m)
	if child(root, "controller_map") == nil {
		r.fault(root, "controller_map", "the key is missing: which controller map is this?")
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return &ControllerMap{Source: sourceOf(r.file, b), Name: m.name, Renamed: r.told(), root: root}, nil
}

// Check looks for profiles that the map speaks of and the library does not have,
// and resolves all those that it speaks of through the map.
func (m *ControllerMap) Check(l *Library) error {
	r := &reader{file: m.File}
	var errs []error
	profiles := child(m.root, "profiles")
	for i := 0; profiles != nil && i+1 < len(profiles.Content); i += 2 {
		at := profiles.Content[i]
		if _, ok := l.Lookup(at.Value); !ok {
			r.fault(at, join("profiles", at.Value), "%v", l.unknown(at.Value))
		}
	}
	errs = append(errs, r.err())
	for _, name := range l.Names() {
		if _, err := l.Resolve(name); err != nil {
			continue // broken without the map
		}
		_, err := l.resolve(name, m)
		errs = append(errs, err)
	}
	return gathered(errs)
}

// over lays the map over a chain of documents: what it says of the profile at the
// chain's head, as documents stronger than those of the chain.
func (m *ControllerMap) over(chain []*Document) ([]*Document, error) {
	whole := mergedChain(chain)
	var layers []*Document // the weakest first
	add := func(path string, exact bool) error {
		entry := at(m.root, path)
		if entry == nil {
			return nil
		}
		d := &Document{Source: m.Source, Name: chain[0].Name, root: entry, prefix: path + "."}
		root, err := d.known(child(whole, "variants"), exact)
		d.root = root
		layers = append(layers, d)
		return err
	}
	paths := []string{"everyone"}
	if family := child(whole, "family"); family != nil {
		paths = append(paths, "families."+family.Value)
	}
	for _, d := range slices.Backward(chain) {
		if path := "profiles." + d.Name; !slices.Contains(paths, path) {
			paths = append(paths, path)
		}
	}
	for i, path := range paths {
		if err := add(path, i == len(paths)-1); err != nil {
			return nil, err
		}
	}
	slices.Reverse(layers)
	return append(layers, chain...), nil
}

// known is what d says without the variants that are not in the list. Where the
// profile is the one named, such a variant is an error.
func (d *Document) known(list *yaml.Node, exact bool) (*yaml.Node, error) {
	own := child(d.root, "variants")
	if own == nil {
		return d.root, nil
	}
	kept := *own
	kept.Content = nil
	for i, entry := range own.Content {
		name := child(entry, "name").Value
		if has, _ := variant(list, name); has != nil {
			kept.Content = append(kept.Content, entry)
		} else if exact {
			return nil, d.variant(entry, i).problem("name", "the profile %s has no variant %q; it has %s", d.Name, shortened(name), variantNames(list))
		}
	}
	root := only(d.root, func(key string) bool { return key != "variants" })
	if len(kept.Content) > 0 { // an empty list would drop the profile's
		root.Content = append(root.Content, keyOf(d.root, own), &kept)
	}
	return root, nil
}

func variantNames(list *yaml.Node) string {
	if list == nil || len(list.Content) == 0 {
		return "none"
	}
	names := make([]string, len(list.Content))
	for i, entry := range list.Content {
		names[i] = child(entry, "name").Value
	}
	return strings.Join(names, ", ")
}
