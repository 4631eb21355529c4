package musicxml

import (
	"encoding/xml"
	"slices"
	"strings"
)

// mostTitle is how many characters of a title are kept.
const mostTitle = 200

// titled takes a text of a title, as of the whole work or of its movement.
func (r *page) titled(e *xml.StartElement) error {
	if e.Name.Local == "work" {
		return r.xml.children(func(e *xml.StartElement) error {
			if e.Name.Local != "work-title" {
				return nil
			}
			return r.titled(e)
		})
	}
	text, err := r.xml.text()
	if err != nil {
		return err
	}
	if text = strings.Join(strings.Fields(text), " "); text != "" && !slices.Contains(r.titles, text) {
		r.titles = append(r.titles, text)
	}
	return nil
}

// name is what a score is called: the work, and its movement.
func (r *score) name() string {
	name := []rune(strings.Join(r.titles, ": "))
	return string(name[:min(len(name), mostTitle)])
}
