package musicxml

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
)

// maxDepth is how deep elements may lie in one another; MusicXML needs about ten.
const maxDepth = 100

// source reads elements one after the other. It never fetches a document type
// definition, and knows no entities but the five of XML.
type source struct {
	d        *xml.Decoder
	scan     *scanner           // in the place of the decoder; nil if the file is not plain
	open     []string           // the elements that are open
	elements []xml.StartElement // the same, with their attributes, which are good until the element ends
}

func newSource(r io.Reader) *source {
	d := xml.NewDecoder(&guard{r: r})
	d.CharsetReader = charset
	return &source{d: d, elements: make([]xml.StartElement, maxDepth+1)}
}

// scanned is a source of a plain file.
func scanned(s *scanner) *source {
	return &source{scan: s, elements: make([]xml.StartElement, maxDepth+1)}
}

func (s *source) line() int {
	if s.scan != nil {
		return s.scan.lineNow()
	}
	line, _ := s.d.InputPos()
	return line
}

// token is the next token, with the elements checked for nesting. The start of an element is the
// last of elements then, text what stands in one or the name of one that ends.
func (s *source) token() (what token, text string, err error) {
	what, text, err = s.next()
	switch {
	case err != nil:
		return 0, "", err
	case what == tokenStart:
		if len(s.open) == maxDepth {
			return 0, "", s.fault("elements lie more than %d deep in one another, which no score does: %s", maxDepth, damaged)
		}
		s.open = append(s.open, s.elements[len(s.open)].Name.Local)
	case what == tokenEnd:
		last := len(s.open) - 1
		if last < 0 || s.open[last] != text {
			return 0, "", s.fault("</%.40s> closes nothing that is open: %s", text, damaged)
		}
		s.open = s.open[:last]
	}
	return what, text, nil
}

// next is the next token of the scanner or the decoder. A start goes to the elements, above those
// that are open.
func (s *source) next() (what token, text string, err error) {
	above := &s.elements[len(s.open)]
	if s.scan != nil {
		if s.scan.closes {
			above = &s.elements[len(s.open)-1]
		}
		return s.scan.next(above)
	}
	t, err := s.d.RawToken()
	switch t := t.(type) {
	case xml.StartElement:
		*above, what = t, tokenStart
	case xml.EndElement:
		what, text = tokenEnd, t.Name.Local
	case xml.CharData:
		what, text = tokenText, string(t)
	}
	if err != nil {
		return 0, "", s.explained(err)
	}
	return what, text, nil
}

// explained tells of an error of the decoder, or of what it reads from, in our words.
func (s *source) explained(err error) error {
	var own *SyntaxError
	var syntax *xml.SyntaxError
	switch {
	case err == io.EOF && len(s.open) == 0:
		return err
	case errors.As(err, &own): // of an encoding, or of a tag that is too long
		own.Line = s.line()
		return own
	case err == io.EOF, errors.As(err, &syntax) && strings.Contains(syntax.Msg, "unexpected EOF"):
		return s.fault("the file ends too early: %s", damaged)
	case syntax != nil:
		return s.fault("%.200s: %s", syntax.Msg, damaged)
	}
	return s.fault("%.200v: %s", err, damaged)
}

func (s *source) fault(format string, args ...any) *SyntaxError {
	return &SyntaxError{Line: s.line(), Reason: fmt.Sprintf(format, args...)}
}

// root is the first element.
func (s *source) root() (xml.StartElement, error) {
	for {
		what, _, err := s.token()
		if err == io.EOF {
			return xml.StartElement{}, s.fault("the file holds no element: export it again as MusicXML")
		}
		if err != nil {
			return xml.StartElement{}, err
		}
		if what == tokenStart {
			return s.elements[0], nil
		}
	}
}

// children calls visit for each element in the one that was opened last, up to its end.
// What visit has not read of an element is skipped. An element is good until it ends.
func (s *source) children(visit func(e *xml.StartElement) error) error {
	depth := len(s.open)
	for len(s.open) >= depth {
		what, _, err := s.token()
		if err != nil {
			return err
		}
		if what != tokenStart || len(s.open) != depth+1 {
			continue
		}
		if err := visit(&s.elements[depth]); err != nil {
			return err
		}
	}
	return nil
}

// text is what stands in the element that was opened last, up to its end.
func (s *source) text() (string, error) {
	depth := len(s.open)
	text := ""
	for len(s.open) >= depth {
		what, more, err := s.token()
		if err != nil {
			return "", err
		}
		if what == tokenText {
			text += more
		}
	}
	return strings.Clone(strings.TrimSpace(text)), nil // a piece of the file would keep the whole
}

// attribute is the value of an attribute, trimmed; "" where it is not there.
func attribute(e *xml.StartElement, name string) string {
	for i := range e.Attr {
		if e.Attr[i].Name.Local == name {
			return strings.Clone(strings.TrimSpace(e.Attr[i].Value))
		}
	}
	return ""
}
