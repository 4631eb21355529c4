package musicxml

import (
	"encoding/xml"
	"strings"

	"swellbox/expr"
)

// attributes reads what holds in the part from here on: divisions, key, metre, transposition.
func (h *hand) attributes() error {
	f := h.frame(h.k)
	return h.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "divisions":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			// Less than a division in a quarter note gives a measure no bound.
			if n, ok := h.decimal("divisions", text, 1e-3, maxDivisions); ok {
				h.base, h.since = h.at(), 0
				h.p.divisions = n
			}
		case "key":
			f.key = f.key || h.at() == 0
			h.sign(f, h.at(), expr.KeyChange, 0)
			return h.key(e)
		case "time":
			f.metre = f.metre || h.at() == 0
			return h.time(f)
		case "staff-details":
			return h.staffDetails(e)
		case "transpose":
			return h.transpose(e)
		case "measure-style":
			return h.xml.children(func(e *xml.StartElement) error {
				switch name := e.Name.Local; name {
				case "measure-repeat", "beat-repeat":
					if attribute(e, "type") == "start" {
						h.warn("the %s is a sign of the page only, and the notes that it stands for are missing: write them out", name)
					}
				}
				return nil
			})
		}
		return nil
	})
}

// staffDetails finds the staves that hold another way to play, or a cue.
func (h *hand) staffDetails(e *xml.StartElement) error {
	staff := 1
	if text := attribute(e, "number"); text != "" {
		var ok bool
		if staff, ok = h.whole("a staff", text, 1, maxStaves); !ok {
			return nil
		}
	}
	return h.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "staff-type" {
			return nil
		}
		text, err := h.xml.text()
		h.p.aside[staff] = text == "ossia" || text == "cue" || text == "alternate"
		return err
	})
}

// key reads a key signature, of one staff or of all.
func (h *hand) key(signature *xml.StartElement) error {
	staff := 0
	if text := attribute(signature, "number"); text != "" {
		staff, _ = h.whole("a staff", text, 1, maxStaves)
	}
	return h.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "fifths" {
			return nil
		}
		text, err := h.xml.text()
		if err != nil {
			return err
		}
		n, ok := h.whole("fifths", text, -maxFifths, maxFifths)
		for i := range h.p.fifths {
			if ok && (staff == 0 || staff == i) {
				h.p.fifths[i] = n
			}
		}
		return nil
	})
}

// maxFifths bounds the sharps or flats of a key signature: every step doubly altered.
const maxFifths = 14

// time reads a time signature. Several, one after the other or added up ("3+2"), are
// added in the smallest unit. The first part that has one in a measure decides.
func (h *hand) time(f *frame) error {
	beats, unit := 0, 0
	var added []int
	free := false
	err := h.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "beats":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			added = added[:0]
			for s := range strings.SplitSeq(text, "+") {
				if n, ok := h.whole("beats", strings.TrimSpace(s), 1, maxBeats); ok {
					added = append(added, n)
				}
			}
		case "beat-type":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			n, ok := h.whole("beat-type", text, 1, maxUnit)
			if !ok {
				return nil
			}
			sum := 0
			for _, a := range added {
				sum += a
			}
			beats, unit = add(beats, unit, sum, n)
		case "senza-misura":
			free = true
		}
		return nil
	})
	if err != nil {
		return err
	}
	h.p.free = free
	if f.beats > 0 || f.free {
		return nil
	}
	if beats > maxBeats {
		h.warn("a time signature of %d beats is ignored; there may be %d", beats, maxBeats)
		return nil
	}
	f.beats, f.unit, f.free = beats, unit, free
	return nil
}

const (
	maxBeats = 1000 // of a time signature
	maxUnit  = 1024 // of a time signature, the shortest note of the standard
)

// add adds two time signatures, of which the first may be none.
func add(beats, unit, more, of int) (int, int) {
	if unit == 0 {
		return more, of
	}
	common := unit / gcd(unit, of) * of
	if common > maxUnit {
		return beats, unit
	}
	return beats*(common/unit) + more*(common/of), common
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// maxTransposition bounds a transposition, in semitones: the range of MIDI notes.
const maxTransposition = 127

// transpose reads what is to be added to written notes. The pitch of concert scores
// (for-part, MusicXML 4.0) is already that which sounds.
func (h *hand) transpose(signature *xml.StartElement) error {
	chromatic, octaves := 0.0, 0
	err := h.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "chromatic":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			chromatic, _ = h.decimal("chromatic", text, -maxTransposition, maxTransposition)
		case "octave-change":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			octaves, _ = h.whole("octave-change", text, -10, 10)
		case "double":
			h.warn("the part is doubled an octave away, and only the written line is read")
		}
		return nil
	})
	if err != nil {
		return err
	}
	semitones := int(chromatic) + 12*octaves
	if text := attribute(signature, "number"); text != "" {
		if staff, ok := h.whole("a staff", text, 1, maxStaves); ok {
			h.p.transpose[staff] = semitones
		}
		return nil
	}
	for i := range h.p.transpose {
		h.p.transpose[i] = semitones
	}
	return nil
}
