package musicxml

import (
	"encoding/xml"
	"strconv"
	"strings"

	"swellbox/expr"
)

const (
	// maxDivisions bounds the divisions of a quarter note (16383 in the standard).
	maxDivisions = 1 << 20
	// maxCells bounds the measures of all parts together.
	maxCells = 5_000_000
	// maxMeasure bounds a measure, in quarter notes.
	maxMeasure = 10_000
)

// hand is where the reading of a measure of a part stands.
type hand struct {
	*reader
	p      *part
	k      int       // the measure
	base   int64     // ticks in the measure, where the divisions were set last
	since  float64   // divisions since then
	end    int64     // ticks that the measure has so far, as far as notes go
	rested int64     // the same, as far as rests and empty time go
	rests  []stretch // when the part rests, with any of its voices

	onset   int64          // ticks of the last note, for those that make a chord with it
	length  int64          // ticks of that note
	first   int            // index of the first note of that chord; unsaid
	stolen  int64          // what grace notes took from it
	sounded bool           // there was a note
	graces  []pended       // that wait for the note they belong to
	ends    map[uint16]int // by voice: index of the last note, from which late grace notes take
}

// at is where the reading stands, in ticks.
func (h *hand) at() int64 { return h.base + h.in(h.since) }

// in is a number of divisions in ticks.
func (h *hand) in(divisions float64) int64 { return ticks(divisions / h.p.divisions) }

// forward goes on by a number of divisions, which may be negative. The place may lie before the
// measure for as long as nothing is written there: some programs go back too far and forward
// again by as much.
func (h *hand) forward(divisions float64) error {
	h.since += divisions
	if at := h.at(); at > maxMeasure*quarterTicks || at < -maxMeasure*quarterTicks {
		return h.fault("the measure is over %d quarter notes long: %s", maxMeasure, damaged)
	}
	return nil
}

// ground takes what is written before the start of the measure as written at its start.
func (h *hand) ground() {
	if at := h.at(); at < 0 {
		h.warn("the file goes back beyond the start of the measure, by %g quarter notes; that is ignored", -quarters(at))
		h.base, h.since = 0, 0
	}
}

// content reads what a part has in a measure.
func (r *reader) content(k int) error {
	p := r.now
	if len(r.frames)*len(r.parts) > maxCells {
		return r.fault("the score has over %d measures in all its parts: split it", maxCells)
	}
	for len(p.measures) <= k {
		p.measures = append(p.measures, nil)
	}
	h := &hand{reader: r, p: p, k: k, first: unsaid, ends: map[uint16]int{}}
	err := r.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "backup" && e.Name.Local != "forward" {
			h.ground()
		}
		switch e.Name.Local {
		case "note":
			return h.readNote(e)
		case "backup", "forward":
			return h.move(e.Name.Local == "backup")
		case "attributes":
			return h.attributes()
		case "direction":
			return h.direction()
		case "sound":
			d := directions{}
			if err := h.sound(e, &d); err != nil {
				return err
			}
			return h.commit(&d)
		case "barline":
			return h.barline(e)
		}
		return nil
	})
	if err != nil {
		return err
	}
	h.late()
	overRests(h.p.measures[k], h.rests)
	f := r.frame(k)
	f.length, f.rested = max(f.length, h.end), max(f.rested, h.rested)
	return nil
}

func (h *hand) move(back bool) error {
	divisions := 0.0
	err := h.xml.children(func(e *xml.StartElement) (err error) {
		if e.Name.Local == "duration" {
			divisions, err = h.duration()
		}
		return err
	})
	if err != nil {
		return err
	}
	h.first = unsaid
	if back {
		return h.forward(-divisions)
	}
	err = h.forward(divisions)
	h.rested = max(h.rested, h.at())
	return err
}

// duration reads a number of divisions.
func (r *reader) duration() (float64, error) {
	text, err := r.xml.text()
	if err != nil {
		return 0, err
	}
	divisions, _ := r.decimal("a duration", text, 0, maxMeasure*maxDivisions)
	return divisions, nil
}

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
			return h.key(h.p, e)
		case "time":
			f.metre = f.metre || h.at() == 0
			return h.time(h.p, f)
		case "staff-details":
			return h.staffDetails(h.p, e)
		case "transpose":
			return h.transpose(h.p, e)
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
func (r *reader) staffDetails(p *part, e *xml.StartElement) error {
	staff := 1
	if text := attribute(e, "number"); text != "" {
		var ok bool
		if staff, ok = r.whole("a staff", text, 1, maxStaves); !ok {
			return nil
		}
	}
	return r.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "staff-type" {
			return nil
		}
		text, err := r.xml.text()
		p.aside[staff] = text == "ossia" || text == "cue" || text == "alternate"
		return err
	})
}

// key reads a key signature, of one staff or of all.
func (r *reader) key(p *part, attributes *xml.StartElement) error {
	staff := 0
	if text := attribute(attributes, "number"); text != "" {
		staff, _ = r.whole("a staff", text, 1, maxStaves)
	}
	return r.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "fifths" {
			return nil
		}
		text, err := r.xml.text()
		if err != nil {
			return err
		}
		n, ok := r.whole("fifths", text, -maxFifths, maxFifths)
		for i := range p.fifths {
			if ok && (staff == 0 || staff == i) {
				p.fifths[i] = n
			}
		}
		return nil
	})
}

// maxFifths bounds the sharps or flats of a key signature: every step doubly altered.
const maxFifths = 14

// time reads a time signature. Several, one after the other or added up ("3+2"), are
// added in the smallest unit. The first part that has one in a measure decides.
func (r *reader) time(p *part, f *frame) error {
	beats, unit := 0, 0
	var added []int
	free := false
	err := r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "beats":
			text, err := r.xml.text()
			if err != nil {
				return err
			}
			added = added[:0]
			for s := range strings.SplitSeq(text, "+") {
				if n, ok := r.whole("beats", strings.TrimSpace(s), 1, maxBeats); ok {
					added = append(added, n)
				}
			}
		case "beat-type":
			text, err := r.xml.text()
			if err != nil {
				return err
			}
			n, ok := r.whole("beat-type", text, 1, maxUnit)
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
	p.free = free
	if f.beats > 0 || f.free {
		return nil
	}
	if beats > maxBeats {
		r.warn("a time signature of %d beats is ignored; there may be %d", beats, maxBeats)
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
func (r *reader) transpose(p *part, attributes *xml.StartElement) error {
	chromatic, octaves := 0.0, 0
	err := r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "chromatic":
			text, err := r.xml.text()
			if err != nil {
				return err
			}
			chromatic, _ = r.decimal("chromatic", text, -maxTransposition, maxTransposition)
		case "octave-change":
			text, err := r.xml.text()
			if err != nil {
				return err
			}
			octaves, _ = r.whole("octave-change", text, -10, 10)
		case "double":
			r.warn("the part is doubled an octave away, and only the written line is read")
		}
		return nil
	})
	if err != nil {
		return err
	}
	semitones := int(chromatic) + 12*octaves
	if text := attribute(attributes, "number"); text != "" {
		if staff, ok := r.whole("a staff", text, 1, maxStaves); ok {
			p.transpose[staff] = semitones
		}
		return nil
	}
	for i := range p.transpose {
		p.transpose[i] = semitones
	}
	return nil
}

// voice is the number of a voice of the part. Notes without a voice are told
// apart by their staves.
func (p *part) voice(name string, staff int) uint16 {
	if name == "" {
		name = "staff " + strconv.Itoa(staff)
	}
	v, ok := p.voices[name]
	if !ok && len(p.voices) < maxVoices {
		v = uint16(len(p.voices))
		p.voices[name] = v
	}
	return v
}

// maxVoices bounds the voices of a part; further ones are one with the first.
const maxVoices = 256
