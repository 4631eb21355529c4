package musicxml

import (
	"encoding/xml"
	"slices"
	"strconv"
)

// maxPort is the last port that MusicXML can name (midi-16).
const maxPort = 16

// maxParts bounds the parts of a score.
const maxParts = 1000

// roster knows the parts of a score by their identifiers.
type roster struct {
	*page
	byID map[string]*part
}

func (r *roster) partList() error {
	return r.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "score-part" {
			return nil
		}
		id := attribute(e, "id")
		if r.byID[id] != nil {
			r.warn("the part list names %.40q twice, and its second naming is left out", id)
			return nil
		}
		p, err := r.newPart(id)
		if err != nil {
			return err
		}
		return r.scorePart(p)
	})
}

// part is the part of an identifier. One that the part list lacks is made.
func (r *roster) part(id string) (*part, error) {
	if p := r.byID[id]; p != nil {
		return p, nil
	}
	r.warn("the part %.40q is not in the part list", id)
	return r.newPart(id)
}

func (r *roster) newPart(id string) (*part, error) {
	if len(r.parts) == maxParts {
		return nil, r.fault("the score has over %d parts: split it", maxParts)
	}
	p := &part{
		id: id, index: len(r.parts), divisions: 1,
		byID: map[string]int{}, voices: map[string]uint16{},
	}
	r.parts, r.byID[id] = append(r.parts, p), p
	return p, nil
}

func (r *roster) scorePart(p *part) error {
	short := ""
	err := r.xml.children(func(e *xml.StartElement) (err error) {
		switch e.Name.Local {
		case "part-name":
			p.name, err = r.xml.text()
		case "part-abbreviation":
			short, err = r.xml.text()
		case "score-instrument":
			i := p.instrument(attribute(e, "id"))
			return r.xml.children(func(e *xml.StartElement) (err error) {
				switch e.Name.Local {
				case "instrument-name":
					p.instruments[i].name, err = r.xml.text()
				case "instrument-sound":
					p.instruments[i].sound, err = r.xml.text()
				}
				return err
			})
		case "midi-device":
			r.midiDevice(p, e)
		case "midi-instrument":
			return r.midiInstrument(p, e, nil)
		}
		return err
	})
	if p.name == "" {
		p.name = short
	}
	return err
}

// maxInstruments bounds the instruments of a part.
const maxInstruments = 1000

// instrument is the index of an instrument of the part, made if need be.
func (p *part) instrument(id string) int {
	i, ok := p.byID[id]
	if !ok && len(p.instruments) < maxInstruments {
		i = len(p.instruments)
		p.byID[id] = i
		p.instruments = append(p.instruments, instrument{id: id, port: unsaid, channel: unsaid, unpitched: unsaid})
	}
	return i
}

// midiDevice takes the port of one instrument, or of all.
func (r *page) midiDevice(p *part, e *xml.StartElement) {
	text := attribute(e, "port")
	if text == "" {
		return
	}
	port, ok := r.whole("midi port", text, 1, maxPort)
	if !ok {
		return
	}
	if id := attribute(e, "id"); id != "" || len(p.instruments) == 0 {
		say(&p.instruments[p.instrument(id)].port, unsaid, port-1)
		return
	}
	for i := range p.instruments {
		say(&p.instruments[i].port, unsaid, port-1)
	}
}

// say says a number that was not said before: what a score changes on its way is not
// how it starts.
func say(n *int, none, said int) {
	if *n == none {
		*n = said
	}
}

// midiInstrument reads how an instrument is played by MIDI. On the way through the score another
// program is another way to play, such as pizzicato, which change is told; in the list of the parts it is nil.
func (r *page) midiInstrument(p *part, e *xml.StartElement, change func(instrument, program int)) error {
	i := p.instrument(attribute(e, "id"))
	return r.xml.children(func(e *xml.StartElement) error {
		var into *int
		first, last := 0, 128 // of the numbers as we keep them, and as the file has them
		none := unsaid
		switch e.Name.Local {
		case "midi-channel":
			into, last = &p.instruments[i].channel, 16
		case "midi-program":
			into, first, none = &p.instruments[i].program, 1, 0
		case "midi-unpitched":
			into = &p.instruments[i].unpitched
		default:
			return nil
		}
		text, err := r.xml.text()
		if err != nil {
			return err
		}
		n, ok := r.whole(e.Name.Local, text, 1, last)
		if !ok {
			return nil
		}
		n += first - 1
		if change != nil && into == &p.instruments[i].program {
			if *into == none { // the score began before the file said it
				*into = n
			}
			change(i, n)
			return nil
		}
		say(into, none, n)
		return nil
	})
}

// settle fills in what the file does not say of the instruments. The port and the channel
// of one are those of the part's first that has them. A part that has none gets a channel
// of its own, counted up without the tenth, which General MIDI keeps for percussion, and
// fifteen parts a port; if its instruments are keys that are struck, it gets the tenth.
func (p *part) settle() {
	if len(p.instruments) == 0 {
		p.instrument("")
	}
	port, channel := unsaid, unsaid
	for _, x := range p.instruments {
		if x.channel != unsaid && channel == unsaid {
			port, channel = x.port, x.channel
		}
	}
	if channel == unsaid {
		port, channel = p.index/15, p.index%15
		if channel >= 9 {
			channel++
		}
		if slices.ContainsFunc(p.instruments, func(x instrument) bool { return x.unpitched != unsaid }) {
			channel = percussion
		}
	}
	for i := range p.instruments {
		x := &p.instruments[i]
		if x.channel == unsaid {
			x.channel = channel
			if x.port == unsaid {
				x.port = port
			}
		}
		x.port = max(x.port, 0)
	}
}

// percussion is the channel that General MIDI keeps for it, from 0.
const percussion = 9

// title is the name of the part, or of its instrument, or its number.
func (p *part) title() string {
	if p.name != "" {
		return p.name
	}
	for _, x := range p.instruments {
		if x.name != "" {
			return x.name
		}
	}
	return "Part " + strconv.Itoa(p.index+1)
}
