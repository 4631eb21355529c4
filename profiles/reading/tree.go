package reading

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// depthLimit is how deep a document may nest. The deepest key of ours,
// profiles.horn.variants[1].sampler.level.points[1].value, lies nine levels down.
const depthLimit = 16

// Tree reads b as the one YAML mapping it must be. It returns nil if there is
// none, after noting why.
func (r *Reader) Tree(b []byte) *yaml.Node {
	if len(b) > DocumentLimit {
		r.tooLong(int64(len(b)))
		return nil
	}
	if !r.ofText(b) {
		return nil
	}
	var doc, second yaml.Node
	d := yaml.NewDecoder(bytes.NewReader(b))
	if err := d.Decode(&doc); errors.Is(err, io.EOF) {
		r.faultAt(0, 0, "", "the file is empty; a document begins with \"swellbox: 1\"")
		return nil
	} else if err != nil {
		r.syntax(err)
		return nil
	}
	if err := d.Decode(&second); err == nil {
		r.Fault(&second, "", "a second document begins here, allowed is one a file")
	} else if !errors.Is(err, io.EOF) {
		r.syntax(err)
	}
	root := doc.Content[0]
	r.plainOnly(root, 0)
	if len(r.Problems) > 0 {
		return nil
	}
	if root.Kind != yaml.MappingNode {
		r.Fault(root, "", "found %s, wanted keys with values, beginning with \"swellbox: 1\"", Found(root))
		return nil
	}
	return root
}

var syntaxLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// syntax notes what the YAML parser could not read.
func (r *Reader) syntax(err error) {
	line, text := 0, err.Error()
	if m := syntaxLine.FindStringSubmatch(text); m != nil {
		line, _ = strconv.Atoi(m[1]) // no digits: the parser knows no line
		text = text[len(m[0]):]
	}
	r.faultAt(line, 0, "", "not readable as YAML: %s", strings.ToValidUTF8(strings.Join(strings.Fields(text), " "), "?"))
}

// plainOnly notes what a document of ours has no use for and a hostile one
// might: anchors and aliases, which can grow without bound, tags, and nesting.
func (r *Reader) plainOnly(n *yaml.Node, depth int) {
	switch {
	case depth > depthLimit:
		r.Fault(n, "", "nested deeper than %d levels", depthLimit)
		return
	case n.Kind == yaml.AliasNode:
		r.Fault(n, "", "an alias (*%q) is not allowed; write the value out, or use extends", n.Value)
		return // what it stands for has been visited where it is anchored
	case n.Anchor != "":
		r.Fault(n, "", "an anchor (&%q) is not allowed; write the value out, or use extends", n.Anchor)
	case n.Style&yaml.TaggedStyle != 0:
		r.Fault(n, "", "a tag (%q) is not allowed", n.Tag)
	}
	for _, c := range n.Content {
		if r.Full() {
			return
		}
		r.plainOnly(c, depth+1)
	}
}

// Child is the value of key in the mapping n, or nil.
func Child(n *yaml.Node, key string) *yaml.Node {
	if n == nil || n.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return n.Content[i+1]
		}
	}
	return nil
}

// At is the value at a path of keys; the root for the empty path.
func At(n *yaml.Node, path string) *yaml.Node {
	if path == "" {
		return n
	}
	for _, name := range strings.Split(path, ".") {
		n = Child(n, name)
	}
	return n
}

// Found says what n is, for an error message.
func Found(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "keys with values"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case n.ShortTag() == "!!null":
		return "nothing"
	}
	return strconv.Quote(Shortened(n.Value))
}

// Counted is found with the length of a list.
func Counted(n *yaml.Node) string {
	if n.Kind == yaml.SequenceNode {
		return fmt.Sprintf("a list of %d", len(n.Content))
	}
	return Found(n)
}

// Shortened keeps a hostile or forgotten quote from filling a message.
func Shortened(s string) string {
	const most = 60
	if len(s) > most {
		return strings.ToValidUTF8(s[:most], "") + "…"
	}
	return s
}
