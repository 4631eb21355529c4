package musicxml

import (
	"encoding/xml"
	"strings"

	"swellbox/expr"
)

// readNote reads a note into w.
func (r *page) readNote(w *written, e *xml.StartElement) error {
	w.staff = 1
	w.times = r.passes(attribute(e, "time-only"))
	if text := attribute(e, "dynamics"); text != "" {
		w.velocity = r.percent(text)
	}
	return r.xml.children(func(e *xml.StartElement) error { return r.noteElement(w, e) })
}

func (r *page) noteElement(w *written, e *xml.StartElement) (err error) {
	switch e.Name.Local {
	case "grace":
		w.grace = true
		w.slash = attribute(e, "slash") == "yes"
		w.early = attribute(e, "steal-time-previous") != ""
	case "cue":
		w.cue = true
	case "chord":
		w.chord = true
	case "rest":
		w.rest = true
		w.measureRest = attribute(e, "measure") == "yes"
	case "pitch":
		w.pitched = true
		return r.readPitch(&w.pitch)
	case "unpitched":
		return r.readPitch(&w.pitch)
	case "duration":
		w.divisions, err = r.duration()
	case "tie":
		w.tied |= tieOf(e)
	case "instrument":
		w.player = attribute(e, "id")
	case "voice":
		w.part, err = r.xml.text()
	case "type":
		w.kind, err = r.xml.text()
	case "staff":
		text, err := r.xml.text()
		if err != nil {
			return err
		}
		if n, ok := r.whole("a staff", text, 1, maxStaves); ok {
			w.staff = uint8(n)
		}
	case "notations":
		return r.notations(w)
	}
	return err
}

// readPitch reads a pitch, or where an unpitched note stands on the staff.
func (r *page) readPitch(w *pitch) error {
	return r.xml.children(func(e *xml.StartElement) error {
		text, err := r.xml.text()
		if err != nil {
			return err
		}
		switch e.Name.Local {
		case "step", "display-step":
			i := strings.Index("C D EF G A B", text)
			if i < 0 || len(text) != 1 || text == " " {
				r.warn("a step must be A to G, found %.40q; it is taken as C", text)
				i = 0
			}
			w.pitch += float64(i)
			w.step = strings.Index("CDEFGAB", "C D EF G A B"[i:i+1])
			w.displayed = true
		case "octave", "display-octave":
			if n, ok := r.whole("an octave", text, 0, 9); ok {
				w.pitch += float64(12 * (n + 1))
			}
		case "alter":
			if x, ok := r.decimal("an alteration", text, -maxTransposition, maxTransposition); ok {
				w.pitch += x
				w.alter = x
			}
		}
		return nil
	})
}

// articulations are the marks that stand on one note.
var articulations = map[string]expr.Marks{
	"staccato":        expr.Staccato,
	"spiccato":        expr.Staccato,
	"staccatissimo":   expr.Staccatissimo,
	"tenuto":          expr.Tenuto,
	"detached-legato": expr.Tenuto | expr.Staccato,
	"accent":          expr.Accented,
	"strong-accent":   expr.Marcato,
	"breath-mark":     expr.BreathAfter,
	"caesura":         expr.BreathAfter,
}

// maxSlurs is the last number that a slur may have (number-level in the standard).
const maxSlurs = 16

func (r *page) notations(w *written) error {
	return r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "tied":
			w.drawn |= tieOf(e)
		case "fermata":
			w.marks |= expr.Fermata
		case "arpeggiate", "non-arpeggiate", "glissando", "slide", "technical":
			return w.acrossNotes(r, e)
		case "ornaments":
			return r.xml.children(func(e *xml.StartElement) error { return w.ornament(r.xml, e) })
		case "slur":
			n := 1
			if text := attribute(e, "number"); text != "" {
				var ok bool
				if n, ok = r.whole("a slur's number", text, 1, maxSlurs); !ok {
					return nil
				}
			}
			switch attribute(e, "type") {
			case "start":
				w.starts |= 1 << n
			case "stop":
				w.stops |= 1 << n
			}
		case "articulations":
			return r.xml.children(func(e *xml.StartElement) error {
				w.marks |= articulations[e.Name.Local]
				w.across.caesura = w.across.caesura || e.Name.Local == "caesura"
				return nil
			})
		case "dynamics":
			return r.xml.children(func(e *xml.StartElement) error {
				w.dynamics = few(w.dynamics, e.Name.Local)
				return nil
			})
		}
		return nil
	})
}

func tieOf(e *xml.StartElement) tie {
	switch attribute(e, "type") {
	case "start":
		return tieStart
	case "stop":
		return tieStop
	case "continue":
		return tieStart | tieStop
	}
	return 0
}
