package musicxml

import (
	"encoding/xml"
	"strings"
)

// directions are what a direction or a sound says, while it is read.
type directions struct {
	staff     int      // 0 for all of the part
	offset    float64  // divisions
	sounding  bool     // the offset is of the sound, not of the page alone
	dynamics  []string // names of marks
	wedges    []wedge
	pedals    []string // types
	words     []string
	metronome []tempoMark
	rehearsal string // a mark by which players find the place
	segno     bool   // the signs
	coda      bool
	full      bool // it was said that there are too many
	sound     sound
}

// wedge is one end of a hairpin.
type wedge struct {
	kind   string
	number int
}

// sound is what sound elements say of one place.
type sound struct {
	tempo    float64 // quarter notes a minute; 0 where it does not say
	velocity uint8   // 0 where it does not say
	damper   string
}

func (h *hand) direction() error {
	d := directions{}
	err := h.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "direction-type":
			return h.xml.children(func(e *xml.StartElement) error { return h.directionType(&d, e) })
		case "offset":
			return h.offset(&d, e)
		case "staff":
			text, err := h.xml.text()
			if err != nil {
				return err
			}
			if n, ok := h.whole("a staff", text, 1, maxStaves); ok {
				d.staff = n
			}
		case "sound":
			return h.sound(e, &d)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return h.commit(&d)
}

func (r *reader) offset(d *directions, e *xml.StartElement) error {
	text, err := r.xml.text()
	if err != nil {
		return err
	}
	d.offset, _ = r.decimal("an offset", text, -maxMeasure*maxDivisions, maxMeasure*maxDivisions)
	d.sounding = d.sounding || attribute(e, "sound") == "yes"
	return nil
}

func (r *reader) directionType(d *directions, e *xml.StartElement) error {
	if len(d.wedges)+len(d.pedals)+len(d.words)+len(d.metronome)+len(d.dynamics) >= maxSigns {
		if !d.full {
			d.full = true
			r.warn("over %d signs stand at one place, and further ones are left out", maxSigns)
		}
		return nil
	}
	switch e.Name.Local {
	case "dynamics":
		return r.xml.children(func(e *xml.StartElement) error {
			d.dynamics = few(d.dynamics, e.Name.Local)
			return nil
		})
	case "wedge":
		n := 1
		if text := attribute(e, "number"); text != "" {
			n, _ = r.whole("a hairpin's number", text, 1, maxWedges)
		}
		d.wedges = append(d.wedges, wedge{attribute(e, "type"), n})
	case "pedal":
		d.pedals = append(d.pedals, attribute(e, "type"))
	case "words":
		text, err := r.xml.text()
		d.words = append(d.words, text)
		return err
	case "rehearsal":
		text, err := r.xml.text()
		if d.rehearsal == "" {
			d.rehearsal = text
		}
		return err
	case "metronome":
		return r.metronome(d)
	case "segno":
		d.segno = true
	case "coda":
		d.coda = true
	}
	return nil
}

// few adds a sign to those of one place, as long as they are few enough to mean anything.
func few(signs []string, sign string) []string {
	if len(signs) == maxSigns {
		return signs
	}
	return append(signs, sign)
}

const (
	maxSigns  = 100 // of one direction
	maxWedges = 16  // last number that a hairpin may have (number-level in the standard)
)

// sound reads what a sound element says. Where to jump counts for the measure, whatever
// the offset.
func (h *hand) sound(e *xml.StartElement, d *directions) error {
	s := &d.sound
	if text := attribute(e, "tempo"); text != "" {
		s.tempo, _ = h.decimal("tempo", text, minTempo, maxTempo)
	}
	if text := attribute(e, "dynamics"); text != "" {
		s.velocity = h.percent(text)
	}
	s.damper = attribute(e, "damper-pedal")
	switch attribute(e, "pizzicato") {
	case "yes":
		h.way(plucked)
	case "no":
		h.way(usual)
	}
	h.jumps(h.frame(h.k), e)
	return h.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "midi-device": // of use where the part list has none
			h.midiDevice(h.p, e)
		case "midi-instrument":
			return h.midiInstrument(h.p, e, h)
		case "offset":
			d.sounding = true
			return h.offset(d, e)
		}
		return nil
	})
}

// jumps takes where a sound element leads, and which marks it sets to be led to.
func (r *reader) jumps(f *frame, e *xml.StartElement) {
	times := r.passes(attribute(e, "time-only"))
	set := func(j *jump, name string) {
		if to := attribute(e, name); to != "" && to != "no" {
			*j = jump{set: true, to: to, times: times}
		}
	}
	set(&f.dacapo, "dacapo")
	set(&f.dalsegno, "dalsegno")
	set(&f.tocoda, "tocoda")
	if name := attribute(e, "segno"); name != "" {
		f.segno = with(f.segno, name)
	}
	if name := attribute(e, "coda"); name != "" {
		f.coda = with(f.coda, name)
	}
	f.fine = f.fine || attribute(e, "fine") != ""
	f.forward = f.forward || attribute(e, "forward-repeat") == "yes"
}

// commit puts what a direction says where it belongs. An offset moves hairpins
// and pedals; it moves dynamics, tempos and jumps only where it is said to be of the sound,
// for elsewhere it keeps signs from overlapping on the page.
func (h *hand) commit(d *directions) error {
	at := h.at()
	drawn := max(at+h.in(d.offset), 0)
	if d.sounding {
		at = drawn
	}
	f := h.frame(h.k)
	if d.segno {
		f.segno = with(f.segno, "")
	}
	if d.coda {
		f.coda = with(f.coda, "")
	}
	if f.mark == "" {
		f.mark = markOf(d.rehearsal)
	}
	s := d.sound
	stressed := false
	for _, name := range d.dynamics {
		_, is := stresses[name]
		stressed = stressed || is
		h.dynamic(at, d.staff, name)
	}
	if s.velocity > 0 {
		m := mark{measure: h.k, at: at, staff: d.staff, kind: level, velocity: s.velocity}
		if stressed {
			m.kind = accent // what holds after a stress is the level before, or its own
		}
		h.mark(h.p, m)
	}
	for _, w := range d.wedges {
		if kind, ok := wedges[w.kind]; ok && w.number > 0 {
			h.mark(h.p, mark{measure: h.k, at: drawn, staff: d.staff, kind: kind, number: w.number})
		}
	}
	for _, words := range d.words {
		f.middle = f.middle || at == 0 && startsMiddle(words)
		if w := wayOf(words); w != unknownWay {
			h.way(w)
		}
		if kind, ok := leadOf(words); ok {
			h.mark(h.p, mark{measure: h.k, at: at, staff: d.staff, kind: kind})
		}
		if kind, ok := swellOf(words); ok {
			h.mark(h.p, mark{measure: h.k, at: at, staff: d.staff, kind: kind, number: inWords})
		}
	}
	switch {
	case len(d.pedals) > 0:
		for _, kind := range d.pedals {
			h.pedal(h.p, pedalMark{h.k, drawn, kind})
		}
	case s.damper != "":
		h.pedal(h.p, pedalMark{h.k, at, damper(s.damper)})
	}
	said := len(f.tempos)
	h.tempos(f, at, s.tempo, d)
	f.tempo = f.tempo || at == 0 && len(f.tempos) > said
	h.directed(f, at, d)
	return h.enough()
}

// maxMark is how many letters of a rehearsal mark are kept.
const maxMark = 16

// markOf is a rehearsal mark in one line.
func markOf(text string) string {
	letters := []rune(strings.Join(strings.Fields(text), " "))
	return string(letters[:min(len(letters), maxMark)])
}

// way has the part's first instrument play in another way from here on, if there is a program for it.
func (h *hand) way(w way) {
	if len(h.p.instruments) == 0 {
		return
	}
	x := &h.p.instruments[0]
	if x.program == 0 {
		for _, b := range bowedPrograms {
			if strings.HasPrefix(x.sound, b.sound) {
				x.program = b.program
			}
		}
	}
	bowed := x.program >= 41 && x.program <= 45 || x.program >= 49 && x.program <= 52
	switch {
	case w == usual:
		h.change(0, x.program)
	case w == plucked && bowed:
		h.change(0, pluckedBow)
	case w == muted && x.program == plainTrumpet:
		h.change(0, mutedTrumpet)
	}
}

// change has an instrument play by another program from here on.
func (h *hand) change(instrument, program int) {
	if program == 0 || len(h.p.changes) == maxChanges {
		return
	}
	h.p.changes = append(h.p.changes, programMark{h.k, h.at(), instrument, program})
}

// enough checks how many marks there are.
func (r *reader) enough() error {
	if r.marks > maxMarks {
		return r.fault("the score has over %d marks of dynamics, pedals and tempo: split it", maxMarks)
	}
	return nil
}
