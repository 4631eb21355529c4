package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"regexp"
	"strings"

	"github.com/yuin/goldmark"

	"swellbox/proxy/layout"
	"swellbox/proxy/study/balance"
)

// Words are a teacher's: those before all bars, and those at some.
type Words struct {
	intro string
	at    []wordsAt
}

type wordsAt struct{ bars, text string }

// heading begins what is said at some bars.
var heading = regexp.MustCompile(`(?im)^##[ \t]+(?:bars?|seconds?)[ \t]+([^\n]+?)[ \t]*$`)

// ReadWords reads Markdown, in which a heading such as "## bars 9-12" begins what is said there.
func ReadWords(markdown []byte) *Words {
	text := strings.ReplaceAll(string(markdown), "\r\n", "\n")
	w := &Words{intro: text}
	found := heading.FindAllStringSubmatchIndex(text, -1)
	for i, m := range found {
		if i == 0 {
			w.intro = text[:m[0]]
		}
		end := len(text)
		if i+1 < len(found) {
			end = found[i+1][0]
		}
		w.at = append(w.at, wordsAt{text[m[2]:m[3]], text[m[1]:end]})
	}
	return w
}

// place puts the words where they belong. Words at bars that the lesson does not have are an error, as nobody would read them.
func (l *Lesson) place(w *Words, heard *balance.Result) (err error) {
	if w == nil {
		return nil
	}
	if l.Intro, err = written(w.intro); err != nil {
		return err
	}
	for _, one := range w.at {
		first, last, err := heard.Find(one.bars)
		if err != nil {
			return fmt.Errorf("the words at %s %s: %w", heard.Unit, one.bars, err)
		}
		text, err := written(one.text)
		if err != nil {
			return err
		}
		if !l.put(Note{Bars: heard.Span(first, last), Text: text}, first, last) {
			return fmt.Errorf("the words at %s belong to no bars of the lesson, which has %s; add --bars %s", heard.Span(first, last), l.names(), one.bars)
		}
	}
	return nil
}

// put adds a note to the first stretch that has its bars.
func (l *Lesson) put(n Note, first, last int) bool {
	for _, s := range l.Stretches {
		if at, ok := s.covers(first, last); ok {
			n.At = at
			s.Notes = append(s.Notes, n)
			return true
		}
	}
	return false
}

func (l *Lesson) names() string {
	var names []string
	for _, s := range l.Stretches {
		names = append(names, s.Name)
	}
	return layout.List(names, ", ", "and")
}

// written is Markdown as HTML. Tags in it are left out, not passed on: a page that is sent to a class must hold no script of anybody's.
func written(markdown string) (template.HTML, error) {
	var b bytes.Buffer
	if err := goldmark.Convert([]byte(markdown), &b); err != nil {
		return "", errors.Join(errors.New("the words cannot be read as Markdown"), err)
	}
	return template.HTML(strings.TrimSpace(b.String())), nil // goldmark leaves out tags and dangerous links
}
