package musicxml

import (
	"encoding/xml"

	"swellbox/expr"
)

func (h *hand) barline(e *xml.StartElement) error {
	location := attribute(e, "location")
	if name := attribute(e, "segno"); name != "" {
		h.frame(h.k).segno = with(h.frame(h.k).segno, name)
	}
	if name := attribute(e, "coda"); name != "" {
		h.frame(h.k).coda = with(h.frame(h.k).coda, name)
	}
	place := h.at()
	if location == "left" {
		place = 0
	}
	return h.xml.children(func(e *xml.StartElement) error {
		f := h.frame(h.k)
		switch e.Name.Local {
		case "bar-style":
			text, err := h.xml.text()
			if text == "light-light" || text == "light-heavy" || text == "heavy-light" {
				h.sign(f, place, expr.SectionBar, 0)
			}
			f.final = f.final || text == "light-heavy" && location != "left"
			return err
		case "fermata":
			h.sign(f, place, expr.HeldBar, 0)
		case "segno":
			f.segno = with(f.segno, "")
		case "coda":
			f.coda = with(f.coda, "")
		case "ending":
			h.ending(f, e)
		case "repeat":
			h.sign(f, place, expr.SectionBar, 0)
			h.repeat(location, e)
		}
		return nil
	})
}

func (h *hand) ending(f *frame, e *xml.StartElement) {
	switch attribute(e, "type") {
	case "start":
		if !f.starts {
			f.starts, f.ending = true, h.passes(attribute(e, "number"))
		}
	case "stop", "discontinue":
		f.ends = true
	}
}

// repeat takes a repeat sign. One that ends a section and stands at the left of a
// measure belongs to the measure before.
func (h *hand) repeat(location string, e *xml.StartElement) {
	k := h.k
	switch attribute(e, "direction") {
	case "forward":
		if location != "right" {
			h.frame(k).forward = true
		} else {
			h.warn("a repeat starts at the right of a measure; it is taken as the start of the next")
			h.frame(k).forwardNext = true
		}
	case "backward":
		if location == "left" && k > 0 {
			k--
		}
		times := 2
		if text := attribute(e, "times"); text != "" {
			// A section that is to be played no time or once is played once.
			if n, ok := h.whole("times", text, 0, maxTimes); ok {
				times = max(n, 1)
			}
		}
		f := h.frame(k)
		f.backward = max(f.backward, times)
		f.afterJump = f.afterJump || attribute(e, "after-jump") == "yes"
	}
}

// with adds a name to those of a mark if it is new.
func with(names []string, name string) []string {
	for _, n := range names {
		if n == name {
			return names
		}
	}
	if len(names) == maxNames {
		return names
	}
	return append(names, name)
}

// maxNames bounds the names of marks in one measure; further ones are ignored.
const maxNames = 16
