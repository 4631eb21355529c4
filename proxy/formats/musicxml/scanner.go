package musicxml

import (
	"encoding/xml"
	"errors"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"
)

// scanner reads the plain XML that notation programs write, several times as fast as the strict
// decoder: UTF-8 throughout, with tags, attributes, text, comments and a document type without
// declarations of its own. Of all else it says errUnsure, and the file is read again with the
// decoder, which also tells what is wrong. What both read they read alike, to the line.
type scanner struct {
	text string
	at   int

	line   int // of counted
	seen   int // up to where lines are counted
	closes bool
	names  map[string]string // of elements, so that none keeps the file
}

// token is a kind of what stands in a file.
type token uint8

const (
	tokenOther token = iota // comments, instructions
	tokenStart
	tokenEnd
	tokenText
)

// errUnsure says that the decoder has to read the file.
var errUnsure = errors.New("not plain enough")

// longest is how many bytes a tag or a text may have here, well below the bound of guard.
const longest = 1 << 19

// newScanner is a scanner of a file, nil if it is not plain.
func newScanner(b []byte) *scanner {
	text := strings.TrimPrefix(string(b), "\uFEFF")
	if !utf8.ValidString(text) || strings.ContainsRune(text, '\uFFFE') || strings.ContainsRune(text, '\uFFFF') {
		return nil
	}
	returns := strings.Count(text, "\r")
	if returns > 0 {
		if strings.Count(text, "\r\n") != returns {
			return nil
		}
		text = strings.ReplaceAll(text, "\r\n", "\n")
	}
	for i := range len(text) {
		if c := text[i]; c < ' ' && c != '\n' && c != '\t' {
			return nil
		}
	}
	return &scanner{text: text, line: 1, names: map[string]string{}}
}

// lineNow is the line of what comes next.
func (s *scanner) lineNow() int {
	s.line += strings.Count(s.text[s.seen:s.at], "\n")
	s.seen = s.at
	return s.line
}

// next reads a token: an element's start into e, or a text. Attributes go into the space that e has.
func (s *scanner) next(e *xml.StartElement) (what token, text string, err error) {
	if s.closes {
		s.closes = false
		return tokenEnd, e.Name.Local, nil
	}
	rest := s.text[s.at:]
	open := strings.IndexByte(rest, '<')
	switch {
	case open < 0 || open > longest:
		return 0, "", errUnsure
	case open > 0:
		s.at += open
		text, ok := unescaped(rest[:open])
		if !ok || strings.Contains(text, "]]>") {
			return 0, "", errUnsure
		}
		return tokenText, text, nil
	case strings.HasPrefix(rest, "</"):
		n := nameIn(rest[2:])
		end := 2 + n + spacesIn(rest[2+n:])
		if n == 0 || end >= len(rest) || rest[end] != '>' {
			return 0, "", errUnsure
		}
		s.at += end + 1
		return tokenEnd, rest[2 : 2+n], nil
	case strings.HasPrefix(rest, "<!") || strings.HasPrefix(rest, "<?"):
		n, ok := aside(rest)
		if !ok || n > longest {
			return 0, "", errUnsure
		}
		s.at += n
		return tokenOther, "", nil
	}
	return tokenStart, "", s.start(rest, e)
}

// start reads the start of an element.
func (s *scanner) start(rest string, e *xml.StartElement) error {
	i := 1 + nameIn(rest[1:])
	if i == 1 {
		return errUnsure
	}
	name, known := s.names[rest[1:i]]
	if !known {
		name = strings.Clone(rest[1:i])
		s.names[name] = name
	}
	e.Name, e.Attr = xml.Name{Local: name}, e.Attr[:0]
	for i < longest {
		i += spacesIn(rest[i:])
		switch {
		case strings.HasPrefix(rest[i:], ">"):
			s.at += i + 1
			return nil
		case strings.HasPrefix(rest[i:], "/>"):
			s.at += i + 2
			s.closes = true
			return nil
		}
		a, n, ok := attributeIn(rest[i:])
		if !ok {
			return errUnsure
		}
		e.Attr = append(e.Attr, a)
		i += n
	}
	return errUnsure
}

// attributeIn reads an attribute at the beginning of s, and how long it is.
func attributeIn(s string) (a xml.Attr, n int, ok bool) {
	n = nameIn(s)
	name := s[:n]
	if strings.HasPrefix(s[n:], ":") {
		more := nameIn(s[n+1:])
		if n == 0 || more == 0 {
			return a, 0, false
		}
		a.Name = xml.Name{Space: name, Local: s[n+1 : n+1+more]}
		n += 1 + more
	} else {
		a.Name.Local = name
	}
	n += spacesIn(s[n:])
	if name == "" || n >= len(s) || s[n] != '=' {
		return a, 0, false
	}
	n++
	n += spacesIn(s[n:])
	if n >= len(s) || s[n] != '"' && s[n] != '\'' {
		return a, 0, false
	}
	long := strings.IndexByte(s[n+1:], s[n])
	if long < 0 {
		return a, 0, false
	}
	value := s[n+1 : n+1+long]
	if strings.IndexByte(value, '<') >= 0 {
		return a, 0, false
	}
	a.Value, ok = unescaped(value)
	return a, n + 1 + long + 1, ok
}

// declaration is what the first line of a file may say.
var declaration = regexp.MustCompile(`^<\?xml\s+version=["']1\.0["'](\s+encoding=["'](?i:utf-8)["'])?(\s+standalone=["'](yes|no)["'])?\s*\?>`)

// aside is the length of a comment, an instruction or a document type at the beginning of s.
func aside(s string) (n int, ok bool) {
	switch {
	case strings.HasPrefix(s, "<!--"):
		n = strings.Index(s[4:], "--")
		return 4 + n + 3, n >= 0 && strings.HasPrefix(s[4+n:], "-->")
	case strings.HasPrefix(s, "<?xml"):
		n = len(declaration.FindString(s))
		return n, n > 0
	case strings.HasPrefix(s, "<!DOCTYPE "):
		quote := byte(0)
		for i := 2; i < min(len(s), longest); i++ {
			switch c := s[i]; {
			case quote != 0:
				if c == quote {
					quote = 0
				}
			case c == '"' || c == '\'':
				quote = c
			case c == '<' || c == '[':
				return 0, false
			case c == '>':
				return i + 1, true
			}
		}
	}
	return 0, false
}

// nameIn is the length of the name at the beginning of s: of letters, digits and signs of ASCII.
func nameIn(s string) int {
	for i := range len(s) {
		c := s[i]
		letter := 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '_'
		if !letter && (i == 0 || (c < '0' || c > '9') && c != '-' && c != '.') {
			return i
		}
	}
	return len(s)
}

func spacesIn(s string) int {
	for i := range len(s) {
		if c := s[i]; c != ' ' && c != '\n' && c != '\t' {
			return i
		}
	}
	return len(s)
}

// unescaped is a text with what its entities stand for. It is false for an entity that only the
// decoder knows how to take.
func unescaped(s string) (string, bool) {
	if strings.IndexByte(s, '&') < 0 {
		return s, true
	}
	var b strings.Builder
	for {
		plain, rest, more := strings.Cut(s, "&")
		b.WriteString(plain)
		if !more {
			return b.String(), true
		}
		name, after, ok := strings.Cut(rest, ";")
		if !ok {
			return "", false
		}
		switch name {
		case "amp":
			b.WriteByte('&')
		case "lt":
			b.WriteByte('<')
		case "gt":
			b.WriteByte('>')
		case "apos":
			b.WriteByte('\'')
		case "quot":
			b.WriteByte('"')
		default:
			digits, numeric := strings.CutPrefix(name, "#")
			n, err := strconv.ParseUint(digits, 10, 16)
			if !numeric || err != nil || n < ' ' || n >= 0xD800 {
				return "", false
			}
			b.WriteRune(rune(n))
		}
		s = after
	}
}
