package musicxml

import "encoding/xml"

// directions are what a direction or a sound says, while it is read.
type directions struct {
	*hand
	staff      int      // 0 for all of the part
	offset     float64  // divisions
	sounding   bool     // the offset is of the sound, not of the page alone
	dynamics   []string // names of marks
	wedges     []wedge
	pedals     []string // types
	words      []string
	metronomes []tempoMark
	rehearsal  string // a mark by which players find the place
	segno      bool   // the signs
	coda       bool
	full       bool // it was said that there are too many
	sound      sound
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

// read reads a direction.
func (d *directions) read() error {
	return d.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "direction-type":
			return d.xml.children(d.readType)
		case "offset":
			return d.readOffset(e)
		case "staff":
			text, err := d.xml.text()
			if err != nil {
				return err
			}
			if n, ok := d.whole("a staff", text, 1, maxStaves); ok {
				d.staff = n
			}
		case "sound":
			return d.readSound(e)
		}
		return nil
	})
}

func (d *directions) readOffset(e *xml.StartElement) error {
	text, err := d.xml.text()
	if err != nil {
		return err
	}
	d.offset, _ = d.decimal("an offset", text, -maxMeasure*maxDivisions, maxMeasure*maxDivisions)
	d.sounding = d.sounding || attribute(e, "sound") == "yes"
	return nil
}

func (d *directions) readType(e *xml.StartElement) error {
	if len(d.wedges)+len(d.pedals)+len(d.words)+len(d.metronomes)+len(d.dynamics) >= maxSigns {
		if !d.full {
			d.full = true
			d.warn("over %d signs stand at one place, and further ones are left out", maxSigns)
		}
		return nil
	}
	switch e.Name.Local {
	case "dynamics":
		return d.xml.children(func(e *xml.StartElement) error {
			d.dynamics = few(d.dynamics, e.Name.Local)
			return nil
		})
	case "wedge":
		n := 1
		if text := attribute(e, "number"); text != "" {
			n, _ = d.whole("a hairpin's number", text, 1, maxWedges)
		}
		d.wedges = append(d.wedges, wedge{attribute(e, "type"), n})
	case "pedal":
		d.pedals = append(d.pedals, attribute(e, "type"))
	case "words":
		text, err := d.xml.text()
		d.words = append(d.words, text)
		return err
	case "rehearsal":
		text, err := d.xml.text()
		if d.rehearsal == "" {
			d.rehearsal = text
		}
		return err
	case "metronome":
		marks, err := d.metronome()
		d.metronomes = append(d.metronomes, marks...)
		return err
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

// readSound reads what a sound element says. Where to jump counts for the measure, whatever
// the offset.
func (d *directions) readSound(e *xml.StartElement) error {
	s := &d.sound
	if text := attribute(e, "tempo"); text != "" {
		s.tempo, _ = d.decimal("tempo", text, minTempo, maxTempo)
	}
	if text := attribute(e, "dynamics"); text != "" {
		s.velocity = d.percent(text)
	}
	s.damper = attribute(e, "damper-pedal")
	switch attribute(e, "pizzicato") {
	case "yes":
		d.way(plucked)
	case "no":
		d.way(usual)
	}
	d.readJumps(e)
	return d.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "midi-device": // of use where the part list has none
			d.midiDevice(d.p, e)
		case "midi-instrument":
			return d.midiInstrument(d.p, e, d.change)
		case "offset":
			d.sounding = true
			return d.readOffset(e)
		}
		return nil
	})
}

// readJumps takes where a sound element leads, and which marks it sets to be led to.
func (d *directions) readJumps(e *xml.StartElement) {
	f := d.frame(d.k)
	times := d.passes(attribute(e, "time-only"))
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
