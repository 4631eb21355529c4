package musicxml

import (
	"encoding/xml"
	"math"
	"strings"

	"swellbox/expr"
)

// written is a note while it is read.
type written struct {
	note
	pitch
	divisions           float64
	chord, cue, rest    bool
	measureRest         bool
	grace, slash, early bool   // early: it takes its time from the note before
	ornaments           []sign // as they are written
	player              string // identifier of the instrument
	part                string // name of the voice
	kind                string // of the note, such as "eighth"
	drawn               tie    // as notation says, for where the sound says nothing
	dynamics            []string
}

// pitch is where a note is written.
type pitch struct {
	pitched, displayed bool    // as a pitch; as a place on the staff
	pitch              float64 // MIDI note, before transposition
	step               int     // of the scale, 0 for C
	alter              float64 // semitones
}

func (h *hand) readNote(e *xml.StartElement) error {
	w := written{}
	w.staff = 1
	w.times = h.passes(attribute(e, "time-only"))
	if text := attribute(e, "dynamics"); text != "" {
		w.velocity = h.percent(text)
	}
	if err := h.xml.children(func(e *xml.StartElement) error { return h.noteElement(&w, e) }); err != nil {
		return err
	}
	return h.place(&w)
}

func (h *hand) noteElement(w *written, e *xml.StartElement) (err error) {
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
		return h.readPitch(&w.pitch)
	case "unpitched":
		return h.readPitch(&w.pitch)
	case "duration":
		w.divisions, err = h.duration()
	case "tie":
		w.tied |= tieOf(e)
	case "instrument":
		w.player = attribute(e, "id")
	case "voice":
		w.part, err = h.xml.text()
	case "type":
		w.kind, err = h.xml.text()
	case "staff":
		text, err := h.xml.text()
		if err != nil {
			return err
		}
		if n, ok := h.whole("a staff", text, 1, maxStaves); ok {
			w.staff = uint8(n)
		}
	case "notations":
		return h.notations(w)
	}
	return err
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

// readPitch reads a pitch, or where an unpitched note stands on the staff.
func (r *reader) readPitch(w *pitch) error {
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

func (r *reader) notations(w *written) error {
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

// place puts a note that has been read where it belongs, and goes on by its length.
func (h *hand) place(w *written) error {
	if w.cue {
		w.small = cue
	}
	before := h.sounded
	if w.grace {
		before = len(h.graces) > 0
	}
	if w.chord && !before {
		h.warn("a note makes a chord with no note before it; it is taken as a note of its own")
		w.chord = false
	}
	w.voice = h.p.voice(w.part, int(w.staff))
	w.across.fifths = int8(h.p.fifths[w.staff])
	if w.tied == 0 {
		w.tied = w.drawn
	}
	sounds := !w.rest && !h.p.aside[w.staff] && h.sounding(h.p, w)
	if w.grace {
		if len(h.graces) == maxGraces {
			return h.fault("over %d grace notes stand before one note: %s", maxGraces, damaged)
		}
		if !sounds {
			return nil
		}
		h.grace(w)
		return h.count()
	}
	if !w.chord {
		h.onset, h.length = h.at(), h.in(w.divisions)
		h.first, h.sounded = unsaid, true
		if err := h.forward(w.divisions); err != nil {
			return err
		}
		switch {
		case w.rest && w.measureRest && !h.p.free:
			h.rest(w)
		case w.rest:
			h.rest(w)
			h.rested = max(h.rested, h.at())
		default:
			h.end = max(h.end, h.at())
		}
		h.stolen = h.resolve(w)
	}
	for _, name := range w.dynamics {
		h.dynamic(h.onset, int(w.staff), name)
	}
	if err := h.enough(); err != nil {
		return err
	}
	if !sounds {
		return nil
	}
	w.note.ornament = w.played(h.p.fifths[w.staff])
	w.at, w.length = h.onset, h.in(w.divisions)
	if w.length == 0 {
		h.warn("a note lasts no time and is left out")
		return nil
	}
	if h.stolen < w.length {
		w.at, w.length, w.stolen = w.at+h.stolen, w.length-h.stolen, h.stolen
	}
	h.append(w)
	return h.count()
}

// rest notes where the part rests.
func (h *hand) rest(w *written) {
	if len(h.rests) == maxRests {
		return
	}
	s := stretch{h.onset, h.onset + h.length}
	if w.measureRest {
		s = stretch{0, maxMeasure * quarterTicks}
	}
	h.rests = append(h.rests, s)
}

// maxRests bounds the rests of a part that are known in a measure; further ones are ignored.
const maxRests = 256

// append adds a note, and shares the marks of a chord among its notes.
func (h *hand) append(w *written) {
	notes := &h.p.measures[h.k]
	i := len(*notes)
	*notes = append(*notes, w.note)
	h.p.manyStaves = h.p.manyStaves || w.staff > 1
	h.ends[w.voice] = i
	if h.first == unsaid {
		h.first = i
		return
	}
	shareTremolo((*notes)[h.first:])
	shared := (*notes)[h.first].marks
	(*notes)[i].marks |= shared
	if w.marks&^shared == 0 {
		return
	}
	for j := h.first; j < i; j++ {
		(*notes)[j].marks |= w.marks
	}
}

func (r *reader) count() error {
	r.notes++
	if r.notes > maxNotes {
		return r.fault("the score has over %d notes: split it", maxNotes)
	}
	return nil
}

// middleLine is where an unpitched note stands that does not say it: on the middle
// line of a staff in the treble clef, B4 (MusicXML 4.0, display-step; from memory).
const middleLine = 71

// sounding finds the key and the instrument of a note, and reports whether it has one.
func (r *reader) sounding(p *part, w *written) bool {
	i, ok := p.byID[w.player]
	if !ok && w.player != "" {
		r.warn("the instrument %.40q is not in the part list; the note is played by the part's first", w.player)
	}
	w.instrument = uint16(i)
	pitch := w.pitch.pitch
	switch {
	case w.pitched:
		pitch += float64(p.transpose[w.staff])
	case i < len(p.instruments) && p.instruments[i].unpitched != unsaid:
		pitch = float64(p.instruments[i].unpitched)
	case !w.displayed:
		pitch = middleLine
	}
	key := math.Floor(pitch + 0.5) // a quarter tone counts up
	if key < 0 || key > 127 {
		r.warn("the note sounds as MIDI note %g, and there are 0 to 127; it is left out", key)
		return false
	}
	w.key = uint8(key)
	return true
}
