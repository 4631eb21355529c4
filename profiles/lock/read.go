package lock

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// Read reads a lock from a file and verifies every hash in it.
func Read(path string) (*Lock, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("cannot read the lock: %w", err)
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, Limit+1))
	if err != nil {
		return nil, fmt.Errorf("cannot read the lock: %w", err)
	}
	return Parse(path, b)
}

// Parse reads a lock and verifies every hash in it. file is what its errors call
// it. An error is of type [profiles.Problems] and holds all that is wrong.
func Parse(file string, b []byte) (*Lock, error) {
	r := &reader{file: file}
	l := &Lock{}
	if root := r.tree(b); root != nil {
		r.mapping(root, "", []key{
			{"swellbox_lock", r.version},
			{"program", r.text(&l.Program.Version)}, {"revision", r.text(&l.Program.Revision)}, {"libraries", r.libraries(&l.Program.Libraries)},
			{"seating", func(n *yaml.Node, path string) {
				l.Seating = Member{Name: "seating", File: "seating.yaml"}
				r.member(n, path, &l.Seating, true)
			}},
			{"documents", func(n *yaml.Node, path string) { r.documents(n, path, l) }},
		})
	}
	if len(r.problems) > 0 {
		return nil, r.problems
	}
	l.Program.Revision, l.Program.Changed = strings.CutSuffix(l.Program.Revision, changedSince)
	return l, nil
}

// reader gathers what is wrong with one lock.
type reader struct {
	file     string
	problems profiles.Problems
}

// Limits of a lock: how many documents it has, as many as a library, how deep it
// nests, and how many problems are gathered.
const (
	documentsLimit = 1000
	depthLimit     = 4
	problemsLimit  = 100
)

func (r *reader) fault(n *yaml.Node, path, format string, args ...any) {
	if len(r.problems) < problemsLimit {
		r.problems = append(r.problems, profiles.Problem{File: r.file, Line: n.Line, Column: n.Column, Key: path, Text: fmt.Sprintf(format, args...)})
	}
}

var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// tree reads b as the one YAML mapping it must be; nil after noting why not.
func (r *reader) tree(b []byte) *yaml.Node {
	none := &yaml.Node{}
	switch {
	case len(b) > Limit:
		r.fault(none, "", "the file is too long, allowed are %d bytes", Limit)
		return nil
	case !utf8.Valid(b):
		r.fault(none, "", "the file is not text in UTF-8; take the lock from where it was made")
		return nil
	}
	var doc, second yaml.Node
	d := yaml.NewDecoder(bytes.NewReader(b))
	err := d.Decode(&doc)
	if err == nil {
		if err = d.Decode(&second); err == nil {
			r.fault(&second, "", "a second document begins here, allowed is one a file")
			return nil
		}
		if errors.Is(err, io.EOF) {
			r.plainOnly(doc.Content[0], 0)
			if len(r.problems) > 0 {
				return nil
			}
			return doc.Content[0]
		}
	}
	if errors.Is(err, io.EOF) {
		r.fault(none, "", `the file is empty; a lock begins with "swellbox_lock: 1"`)
		return nil
	}
	text := err.Error()
	if m := syntaxLine.FindStringSubmatch(text); m != nil {
		none.Line, _ = strconv.Atoi(m[1]) // no digits: the parser knows no line
		text = text[len(m[0]):]
	}
	r.fault(none, "", "not readable as YAML: %s", strings.ToValidUTF8(strings.Join(strings.Fields(text), " "), "?"))
	return nil
}

// plainOnly notes what a lock has no use for.
func (r *reader) plainOnly(n *yaml.Node, depth int) {
	switch {
	case depth > depthLimit:
		r.fault(n, "", "nested deeper than %d levels", depthLimit)
		return
	case n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0:
		r.fault(n, "", "an anchor, an alias or a tag is not allowed in a lock")
		return
	}
	for _, c := range n.Content {
		if len(r.problems) == problemsLimit {
			return
		}
		r.plainOnly(c, depth+1)
	}
}

// key is one key of a mapping, and how its value is read.
type key struct {
	name string
	read func(n *yaml.Node, path string)
}

// mapping reads a mapping that has these keys, and no others. Only those among [optional]
// may be missing.
func (r *reader) mapping(n *yaml.Node, path string, keys []key) {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	if n.Kind != yaml.MappingNode {
		r.fault(n, path, "wanted keys with values: %s", strings.Join(names, ", "))
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		name, value := n.Content[i], n.Content[i+1]
		k := slices.Index(names, name.Value)
		switch {
		case name.Kind != yaml.ScalarNode || k < 0:
			r.fault(name, path, "the key %.40q is not known; allowed are %s", name.Value, strings.Join(names, ", "))
		case seen[name.Value]:
			r.fault(name, join(path, name.Value), "the key is given twice")
		default:
			seen[name.Value] = true
			keys[k].read(value, join(path, name.Value))
		}
	}
	for _, name := range names {
		if !seen[name] && !slices.Contains(optional, name) {
			r.fault(n, join(path, name), "the key is missing")
		}
	}
}

// optional are the keys that may be missing: a lock of an older program has no revision.
var optional = []string{"label", "revision", "libraries"}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func (r *reader) version(n *yaml.Node, path string) {
	if n.Kind != yaml.ScalarNode || n.Value != "1" {
		r.fault(n, path, "found %.40q, this program reads 1; take a newer program for a newer lock", n.Value)
	}
}

// text reads a value that is written into a string.
func (r *reader) text(to *string) func(*yaml.Node, string) {
	return func(n *yaml.Node, path string) {
		if n.Kind != yaml.ScalarNode {
			r.fault(n, path, "wanted text")
			return
		}
		*to = n.Value
	}
}

func (r *reader) documents(n *yaml.Node, path string, l *Lock) {
	if n.Kind != yaml.SequenceNode || len(n.Content) > documentsLimit {
		r.fault(n, path, "wanted a list of at most %d documents", documentsLimit)
		return
	}
	for i, entry := range n.Content {
		var m Member
		r.member(entry, fmt.Sprintf("%s[%d]", path, i+1), &m, false)
		l.Documents = append(l.Documents, m)
	}
}

var kinds = []profiles.OriginKind{profiles.BuiltIn, profiles.Installed, profiles.Studio, profiles.Own, ""}

// member reads one document, and verifies its hash.
func (r *reader) member(n *yaml.Node, path string, m *Member, seating bool) {
	var kind, hash, content string
	keys := []key{{"sha256", r.text(&hash)}, {"content", r.text(&content)}}
	if !seating {
		keys = slices.Concat([]key{
			{"name", r.text(&m.Name)}, {"origin", r.text(&kind)}, {"label", r.text(&m.Origin.Label)}, {"file", r.text(&m.File)},
		}, keys)
	}
	before := len(r.problems)
	r.mapping(n, path, keys)
	if len(r.problems) > before {
		return
	}
	m.Content = []byte(content)
	m.Origin.Kind = profiles.OriginKind(kind)
	if !slices.Contains(kinds, m.Origin.Kind) {
		r.fault(n, join(path, "origin"), "found %.40q, allowed are built-in, installed, studio, own", kind)
	}
	if m.Hash() != hash {
		r.fault(n, join(path, "content"), "the document has been changed since it was locked: its hash is %.12s, and %.12s is locked; lock the piece anew, or take the lock from where it was made", m.Hash(), hash)
	}
}
