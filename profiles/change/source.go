package change

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"swellbox/profiles"
)

// depthLimit is how deep a document may nest, and itemsLimit how many entries one
// collection may have: what pairs and follows them down takes no longer than that.
const (
	depthLimit = 32
	itemsLimit = 1024
)

// source is a document as it was written, with the place of each of its nodes.
type source struct {
	b       []byte
	lines   []int // where each line begins, as YAML counts lines
	root    *yaml.Node
	spans   map[*yaml.Node]span
	newline string
	step    int    // columns that a level is indented
	last    cursor // where the place of a node was found last
}

// cursor is a place by line and column, both from 1, and by byte.
type cursor struct{ line, column, at int }

// span is the bytes of a node, without comments around it. A value that is not
// written at all has an empty span behind its key.
type span struct{ from, to int }

// read finds the place of every node of a document, and puts the comments where
// an edit looks for them: the lines above an item in HeadComment of its key, or
// of the element of a list, and the comment behind it in LineComment. There are
// none in flow style, where it cannot be told what a comment belongs to.
func read(b []byte) (*source, error) {
	if len(b) > profiles.DocumentLimit {
		return nil, fmt.Errorf("the document has %d bytes, allowed are %d", len(b), profiles.DocumentLimit)
	}
	if !utf8.Valid(b) {
		return nil, errors.New("the document is not written in UTF-8; save it as UTF-8 first")
	}
	var doc yaml.Node
	if err := yaml.Unmarshal(b, &doc); err != nil {
		return nil, fmt.Errorf("the document is not readable as YAML: %s", strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if len(doc.Content) != 1 || doc.Content[0].Kind != yaml.MappingNode {
		return nil, errors.New("the document has no keys; a document begins with \"swellbox: 1\"")
	}
	s := &source{b: b, root: doc.Content[0], spans: map[*yaml.Node]span{}, newline: "\n", step: 2}
	if i := bytes.IndexByte(b, '\n'); i > 0 && b[i-1] == '\r' {
		s.newline = "\r\n"
	}
	s.findLines()
	if err := s.measure(s.root, 0, 0); err != nil {
		return nil, err
	}
	for i := 0; i < len(s.root.Content); i += 2 {
		if v := s.root.Content[i+1]; s.block(v) && v.Kind == yaml.MappingNode && v.Column > s.root.Column {
			s.step = v.Column - s.root.Column
			break
		}
	}
	s.annotate(s.root)
	return s, nil
}

func (s *source) findLines() {
	s.lines = []int{0}
	for i := 0; i < len(s.b); {
		c, n := utf8.DecodeRune(s.b[i:])
		i += n
		if c == '\r' && i < len(s.b) && s.b[i] == '\n' {
			continue
		}
		switch c { // what ends a line: YAML 1.1, section 4.2
		case '\n', '\r', '\u0085', '\u2028', '\u2029':
			s.lines = append(s.lines, i)
		}
	}
}

// offset is the byte at which a node begins. Nodes are asked for in the order of
// the document, so that a long line is gone through once.
func (s *source) offset(n *yaml.Node) (int, bool) {
	if n.Line < 1 || n.Line > len(s.lines) {
		return 0, false
	}
	c := s.last
	if c.line != n.Line || c.column > n.Column {
		c = cursor{n.Line, 1, s.lines[n.Line-1]}
		if n.Line == 1 {
			c.at += len(s.b) - len(bytes.TrimPrefix(s.b, []byte("\ufeff"))) // YAML does not count it
		}
	}
	for ; c.column < n.Column && c.at < len(s.b); c.column++ {
		_, size := utf8.DecodeRune(s.b[c.at:])
		c.at += size
	}
	s.last = c
	return c.at, c.column == n.Column
}

// measure notes the span of n and of all under it. indent is the column of the
// block collection around it, from 1.
func (s *source) measure(n *yaml.Node, indent, depth int) error {
	at, ok := s.offset(n)
	switch {
	case !ok:
		return place(n, "its place cannot be found")
	case depth > depthLimit:
		return place(n, "nested deeper than %d levels", depthLimit)
	case len(n.Content) > 2*itemsLimit:
		return place(n, "more than %d entries", itemsLimit)
	case n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0:
		return place(n, "anchors, aliases and tags are not allowed; write the value out")
	}
	if n.Kind == yaml.ScalarNode {
		to, ok := s.scalarEnd(n, at, indent)
		if !ok {
			return place(n, "the end of this value cannot be found; write it on one line")
		}
		s.spans[n] = span{at, to}
		return nil
	}
	if n.Style&yaml.FlowStyle == 0 {
		indent = n.Column
	}
	to := at
	if s.opens(at) {
		to++
	}
	for _, c := range n.Content {
		if err := s.measure(c, indent, depth+1); err != nil {
			return err
		}
		to = s.spans[c].to
	}
	if n.Style&yaml.FlowStyle != 0 && s.opens(at) {
		to = s.skip(to, ",:?")
		if to == len(s.b) || s.b[to] != '}' && s.b[to] != ']' {
			return place(n, "the end of this value cannot be found; write it on one line")
		}
		to++
	}
	s.spans[n] = span{at, to}
	return nil
}

func place(n *yaml.Node, format string, args ...any) error {
	return fmt.Errorf("line %d, column %d: %s", n.Line, n.Column, fmt.Sprintf(format, args...))
}

// opens reports whether a collection in flow style begins at the byte.
func (s *source) opens(at int) bool { return at < len(s.b) && (s.b[at] == '{' || s.b[at] == '[') }

// skip is the place after white space, comments and the given punctuation.
func (s *source) skip(at int, punctuation string) int {
	for at < len(s.b) {
		c, size := utf8.DecodeRune(s.b[at:])
		switch {
		case c == '#':
			at = s.eol(at)
		case unicode.IsSpace(c) || strings.ContainsRune(punctuation, c):
			at += size
		default:
			return at
		}
	}
	return at
}

func (s *source) scalarEnd(n *yaml.Node, at, indent int) (int, bool) {
	switch {
	case n.Style&yaml.SingleQuotedStyle != 0:
		for i := at + 1; i < len(s.b); i++ {
			if s.b[i] != '\'' {
				continue
			}
			if i+1 == len(s.b) || s.b[i+1] != '\'' {
				return i + 1, true
			}
			i++
		}
		return 0, false
	case n.Style&yaml.DoubleQuotedStyle != 0:
		for i := at + 1; i < len(s.b); i++ {
			switch s.b[i] {
			case '"':
				return i + 1, true
			case '\\':
				i++
			}
		}
		return 0, false
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		to := s.eol(at)
		for line := n.Line; line < len(s.lines); line++ {
			text := s.b[s.lines[line]:s.eol(s.lines[line])]
			bare := bytes.TrimLeft(text, " ")
			if len(bare) > 0 && len(text)-len(bare) < indent {
				break
			}
			if len(bare) > 0 {
				to = s.eol(s.lines[line])
			}
		}
		return to, true
	}
	// A plain value stands as it is read, but for the white space where it was folded.
	for _, word := range strings.Fields(n.Value) {
		for at < len(s.b) && !bytes.HasPrefix(s.b[at:], []byte(word)) {
			c, size := utf8.DecodeRune(s.b[at:])
			if !unicode.IsSpace(c) {
				return 0, false
			}
			at += size
		}
		at += len(word)
	}
	return at, at <= len(s.b)
}

// eol is the end of the line that the byte is in.
func (s *source) eol(at int) int {
	i := bytes.IndexByte(s.b[at:], '\n')
	if i < 0 {
		return len(s.b)
	}
	if i += at; i > at && s.b[i-1] == '\r' {
		i--
	}
	return i
}

// bol is the beginning of the line that the byte is in.
func (s *source) bol(at int) int { return bytes.LastIndexByte(s.b[:at], '\n') + 1 }

// block reports whether n is written in block style, an item a line.
func (s *source) block(n *yaml.Node) bool {
	return n.Kind != yaml.ScalarNode && n.Style&yaml.FlowStyle == 0 && len(n.Content) > 0
}
