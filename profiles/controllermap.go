package profiles

import (
	"maps"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles/reading"
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
	Name     string
	Measured *Measuring // nil if it was written by hand
	Renamed  Problems   // its keys that have other names now, each with the new one
	root     *yaml.Node
}

// answersLimit is how many profiles a controller map speaks of.
const answersLimit = 1000

// answerKeys are what a controller map may say of a profile: no music.
var answerKeys = []reading.Key[draft]{
	playerKey,
	reading.Section("marks", "how the level gets to the sampler", carriedByKey),
	reading.Section("articulation", "what calls the profile's own way of playing", callKeys[1:]...),
	{Name: "variants", About: "what calls the variants of the profile, and how the sampler answers in them",
		Form: reading.ListForm(reading.Object(variantAnswerKeys, "name"), 0, variantsLimit), Read: readVariants[draft](variantAnswerKeys)},
}

var variantAnswerKeys = append(slices.Clone(callKeys), playerKey)

// answerRef stands for the form of what a map says of a profile, which is long and
// has many places in the schema.
var answerRef = reading.Form{"$ref": "#/$defs/answer"}

// mapDraft is a controller map while it is read.
type mapDraft struct {
	name     string
	measured *Measuring
}

var mapKeys = []reading.Key[mapDraft]{
	versionKey[mapDraft](),
	reading.PlainName("controller_map", "name of the controller map: lower-case letters, digits and single hyphens", func(m *mapDraft) *string { return &m.name }),
	reading.Section("measured", "which part it was measured of, when and by whom", measuringKeys(func(m *mapDraft) *Measuring {
		if m.measured == nil {
			m.measured = &Measuring{}
		}
		return m.measured
	})...),
	answer("everyone", "of all profiles"),
	reading.Section("families", "of the profiles of a family", familyAnswers()...),
	{Name: "profiles", About: "of a profile and all that are based on it, by its name",
		Form: reading.Form{"type": "object", "propertyNames": reading.NameForm, "additionalProperties": answerRef, "maxProperties": answersLimit}, Read: readAnswers},
}

// answer is a key for what a controller map says of some profiles.
func answer(name, about string) reading.Key[mapDraft] {
	return reading.Key[mapDraft]{Name: name, About: about, Form: answerRef, Read: readAnswer}
}

func familyAnswers() []reading.Key[mapDraft] {
	ks := make([]reading.Key[mapDraft], len(families))
	for i, f := range families {
		ks[i] = answer(f.Word, "of the family "+f.Word)
	}
	return ks
}

func readAnswer(r *reading.Reader, n *yaml.Node, path string, _ *mapDraft) {
	var d draft
	reading.Mapping(r, n, path, answerKeys, &d)
}

func readAnswers(r *reading.Reader, n *yaml.Node, path string, to *mapDraft) {
	if n.Kind != yaml.MappingNode || len(n.Content)/2 > answersLimit {
		r.Fault(n, path, "found %s, wanted the names of at most %d profiles with what the sampler does in them", reading.Counted(n), answersLimit)
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content) && !r.Full(); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		if !r.Named(name, path) {
			continue
		}
		if seen[name.Value] {
			r.Fault(name, reading.Join(path, name.Value), "the key is given twice")
		}
		seen[name.Value] = true
		readAnswer(r, value, reading.Join(path, name.Value), to)
	}
}

// ParseControllerMap reads a controller map. file is what its errors call it. An error is of
// type [Problems] and holds all that is wrong with the document by itself.
func ParseControllerMap(file string, b []byte) (*ControllerMap, error) {
	r := &reading.Reader{File: file}
	root, told := document(r, b)
	if root == nil {
		return nil, r.Err()
	}
	return readControllerMap(r, root, told, b)
}

// readControllerMap reads a controller map from its tree.
func readControllerMap(r *reading.Reader, root *yaml.Node, told Problems, b []byte) (*ControllerMap, error) {
	var m mapDraft
	reading.Mapping(r, root, "", mapKeys, &m)
	if reading.Child(root, "controller_map") == nil {
		r.Fault(root, "controller_map", "the key is missing: which controller map is this?")
	}
	if err := r.Err(); err != nil {
		return nil, err
	}
	return &ControllerMap{Source: sourceOf(r.File, b), Name: m.name, Measured: m.measured, Renamed: told, root: root}, nil
}

// over lays the map over a chain of documents: what it says of the profile at the
// chain's head, as documents stronger than those of the chain.
func (m *ControllerMap) over(chain []*Document) ([]*Document, error) {
	whole := mergedChain(chain)
	var layers []*Document // the weakest first
	add := func(path string, exact bool) error {
		entry := reading.At(m.root, path)
		if entry == nil {
			return nil
		}
		d := &Document{Source: m.Source, Name: chain[0].Name, root: entry, prefix: path + "."}
		root, err := d.known(reading.Child(whole, "variants"), exact)
		d.root = root
		layers = append(layers, d)
		return err
	}
	paths := []string{"everyone"}
	if family := reading.Child(whole, "family"); family != nil {
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
	own := reading.Child(d.root, "variants")
	if own == nil {
		return d.root, nil
	}
	kept := *own
	kept.Content = nil
	for i, entry := range own.Content {
		name := reading.Child(entry, "name").Value
		if has, _ := variant(list, name); has != nil {
			kept.Content = append(kept.Content, entry)
		} else if exact {
			return nil, d.variant(entry, i).problem("name", "the profile %s has no variant %q; it has %s", d.Name, reading.Shortened(name), variantNames(list))
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
		names[i] = reading.Child(entry, "name").Value
	}
	return strings.Join(names, ", ")
}

// MeasuredMap is the controller map that was measured of a part: of one with its name and profile,
// else of one that plays with its profile, best with its program too; empty if there is none.
func (l *Library) MeasuredMap(part, profile string, program int) string {
	best, found := 0, ""
	for _, name := range slices.Sorted(maps.Keys(l.maps)) {
		m, _ := top(l.maps[name])
		if m == nil || m.Measured == nil || m.Measured.Profile != profile {
			continue
		}
		fits := 1
		if program != 0 && m.Measured.Program == program {
			fits++
		}
		if strings.EqualFold(m.Measured.Part, part) {
			fits += 2
		}
		if fits > best {
			best, found = fits, name
		}
	}
	return found
}
