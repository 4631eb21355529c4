package musicxml

import (
	"encoding/xml"
	"slices"
	"strconv"
	"strings"

	"swellbox/expr"
	"swellbox/expr/ornament"
)

// sign is an ornament as it is written.
type sign struct {
	ornamented
	named        bool // otherwise it is only an accidental
	upper, lower *int // alterations that are written over and under it
}

// ornamentKinds are the kinds by the standard's names.
var ornamentKinds = map[string]ornament.Kind{
	"trill-mark": ornament.Trill, "shake": ornament.Trill,
	"mordent": ornament.Mordent, "inverted-mordent": ornament.UpperMordent,
	"turn": ornament.Turn, "inverted-turn": ornament.LowerTurn,
	"delayed-turn": ornament.LateTurn, "delayed-inverted-turn": ornament.LateLowerTurn,
	"vertical-turn": ornament.Turn, "inverted-vertical-turn": ornament.LowerTurn,
	"haydn": ornament.Turn,
}

// accidentals are alterations by the standard's names, in semitones.
var accidentals = map[string]int{
	"sharp": 1, "natural": 0, "flat": -1, "double-sharp": 2, "sharp-sharp": 2, "flat-flat": -2,
}

// ornament reads a sign over a note, or an accidental that belongs to the sign before it.
func (w *written) ornament(source *source, e *xml.StartElement) error {
	name := e.Name.Local
	if kind, ok := ornamentKinds[name]; ok {
		w.marks |= expr.Ornament
		s := sign{named: true}
		s.Kind = kind
		s.FromMain = attribute(e, "start-note") == "main"
		s.Turned = attribute(e, "two-note-turn") == "whole" || attribute(e, "two-note-turn") == "half"
		s.Long = attribute(e, "long") == "yes"
		w.ornaments = append(w.ornaments[:min(len(w.ornaments), maxOrnaments)], s)
		return nil
	}
	if name == "tremolo" {
		return w.tremolo(source, e)
	}
	if name != "accidental-mark" || len(w.ornaments) == 0 {
		return nil
	}
	text, err := source.text()
	alter, known := accidentals[text]
	if !known {
		return err
	}
	s := &w.ornaments[len(w.ornaments)-1]
	below := attribute(e, "placement") == "below"
	if placed := attribute(e, "placement") != ""; !placed {
		below = s.Kind == ornament.Mordent
	}
	if below {
		s.lower = &alter
	} else {
		s.upper = &alter
	}
	return err
}

// maxOrnaments bounds the signs over one note; the last of more takes the place of that before it.
const maxOrnaments = 8

// tremolo reads the strokes of a tremolo. Those through the stem are added to the beams of the note.
func (w *written) tremolo(source *source, e *xml.StartElement) error {
	text, err := source.text()
	if err != nil {
		return err
	}
	n, bad := strconv.Atoi(strings.TrimSpace(text))
	kind := attribute(e, "type")
	if kind == "unmeasured" || bad != nil {
		n = unmeasured
	}
	if n < 1 || n > 8 {
		return nil
	}
	s := sign{named: true}
	s.Kind, s.Strokes = ornament.Tremolo, uint8(n)
	if kind == "start" || kind == "stop" {
		s.Kind, s.ends = ornament.Alternate, kind == "stop"
	}
	w.ornaments = append(w.ornaments[:min(len(w.ornaments), maxOrnaments)], s)
	return nil
}

// unmeasured is the strokes of a tremolo that is not counted.
const unmeasured = 3

// played is the first of the ornaments of a note that can be played, in a key of some sharps, or
// flats below 0. Its neighbours are those of the key signature unless an accidental says otherwise.
func (w *written) played(fifths int) ornamented {
	if len(w.ornaments) == 0 {
		return ornamented{}
	}
	s := w.ornaments[0]
	if s.Kind == ornament.Tremolo || s.Kind == ornament.Alternate {
		for v := values[w.kind]; v > 0 && v < quarterTicks && s.Strokes < 8; v *= 2 {
			s.Strokes++ // a beam
		}
		return s.ornamented
	}
	s.Upper = uint8(w.neighbour(1, fifths, s.upper))
	s.Lower = uint8(w.neighbour(-1, fifths, s.lower))
	return s.ornamented
}

// natural are the semitones of the steps from C.
var natural = [7]int{0, 2, 4, 5, 7, 9, 11}

// sharps are the steps in the order in which key signatures sharpen them; flats are in the other.
var sharps = [7]int{3, 0, 4, 1, 5, 2, 6}

// signature is by how much a key signature of some sharps, or flats below 0, alters a step.
func signature(step, fifths int) int {
	i := slices.Index(sharps[:], step)
	switch {
	case fifths > 0 && i < fifths:
		return 1
	case fifths < 0 && 6-i < -fifths:
		return -1
	}
	return 0
}

// neighbour is how far the next step up (1) or down (-1) is from the note, in semitones, 1 to 3.
func (w *written) neighbour(way, fifths int, alter *int) int {
	step := (w.step + way + 7) % 7
	of := signature(step, fifths)
	if alter != nil {
		of = *alter
	}
	distance := (natural[step] + of - natural[w.step] - int(w.alter)) * way
	return min(max((distance+24)%12, 1), 3)
}

// shareTremolo gives the notes of a chord the tremolo that one of them has.
func shareTremolo(chord []note) {
	is := func(n note) bool { return n.ornament.Kind == ornament.Tremolo || n.ornament.Kind == ornament.Alternate }
	i := slices.IndexFunc(chord, is)
	if i < 0 {
		return
	}
	for j := range chord {
		if !is(chord[j]) {
			chord[j].ornament = chord[i].ornament
		}
	}
}

// acrossNotes reads a notation that joins a note with others, or says how it is touched.
func (w *written) acrossNotes(r *page, e *xml.StartElement) error {
	number, said := 1, false
	if text := attribute(e, "number"); text != "" {
		if number, said = r.whole("the number of a sign", text, 1, maxNumber); !said {
			number = 1
		}
	}
	a := &w.across
	switch name := e.Name.Local; name {
	case "arpeggiate":
		w.marks |= expr.Spread
		a.roll = RollUp
		if attribute(e, "direction") == "down" {
			a.roll = RollDown
		}
		if said {
			a.number = uint8(number)
		}
	case "non-arpeggiate":
		a.roll = Together
	case "glissando", "slide":
		bit := glideBit(name == "slide", number)
		switch attribute(e, "type") {
		case "start":
			a.starts |= bit
		case "stop":
			a.stops |= bit
		}
	case "technical":
		return r.xml.children(func(e *xml.StartElement) error {
			if e.Name.Local == "harmonic" {
				return readHarmonic(r.xml, &a.harmonic)
			}
			return nil
		})
	}
	return nil
}

// readHarmonic reads a harmonic. Further ones over the note are read over.
func readHarmonic(source *source, h *harmonic) error {
	h.is = true
	return source.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "artificial":
			h.artificial = true
		case "base-pitch":
			h.pitch = basePitch
		case "touching-pitch":
			h.pitch = touchingPitch
		case "sounding-pitch":
			h.pitch = soundingPitch
		}
		return nil
	})
}
