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
	d    *xml.Decoder
	open []string // the elements that are open
}

func newSource(r io.Reader) *source {
	d := xml.NewDecoder(&guard{r: r})
	d.CharsetReader = charset
	return &source{d: d}
}

func (s *source) line() int {
	line, _ := s.d.InputPos()
	return line
}

// token is the next token, with the elements checked for nesting.
func (s *source) token() (xml.Token, error) {
	t, err := s.d.RawToken()
	switch t := t.(type) {
	case xml.StartElement:
		if len(s.open) == maxDepth {
			return nil, s.fault("elements lie more than %d deep in one another, which no score does: %s", maxDepth, damaged)
		}
		s.open = append(s.open, t.Name.Local)
	case xml.EndElement:
		last := len(s.open) - 1
		if last < 0 || s.open[last] != t.Name.Local {
			return nil, s.fault("</%.40s> closes nothing that is open: %s", t.Name.Local, damaged)
		}
		s.open = s.open[:last]
	}
	if err == nil {
		return t, nil
	}
	return nil, s.explained(err)
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
		t, err := s.token()
		if err == io.EOF {
			return xml.StartElement{}, s.fault("the file holds no element: export it again as MusicXML")
		}
		if err != nil {
			return xml.StartElement{}, err
		}
		if e, ok := t.(xml.StartElement); ok {
			return e, nil
		}
	}
}

// children calls visit for each element in the one that was opened last, up to its end.
// What visit has not read of an element is skipped.
func (s *source) children(visit func(e *xml.StartElement) error) error {
	depth := len(s.open)
	for len(s.open) >= depth {
		t, err := s.token()
		if err != nil {
			return err
		}
		e, ok := t.(xml.StartElement)
		if !ok || len(s.open) != depth+1 {
			continue
		}
		if err := visit(&e); err != nil {
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
		t, err := s.token()
		if err != nil {
			return "", err
		}
		if c, ok := t.(xml.CharData); ok {
			text += string(c)
		}
	}
	return strings.TrimSpace(text), nil
}

// attribute is the value of an attribute, trimmed; "" where it is not there.
func attribute(e *xml.StartElement, name string) string {
	for i := range e.Attr {
		if e.Attr[i].Name.Local == name {
			return strings.TrimSpace(e.Attr[i].Value)
		}
	}
	return ""
}
