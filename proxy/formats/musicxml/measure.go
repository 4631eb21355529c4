package musicxml

import "encoding/xml"

// readMeasure reads what a part has in a measure.
func readMeasure(at hand, graces Grace) error {
	for len(at.p.measures) <= at.k {
		at.p.measures = append(at.p.measures, nil)
	}
	notes := &placer{hand: at, placing: graces, first: unsaid, ends: map[uint16]int{}}
	h := &notes.hand
	err := h.xml.children(func(e *xml.StartElement) error {
		if e.Name.Local != "backup" && e.Name.Local != "forward" {
			h.ground()
		}
		switch e.Name.Local {
		case "note":
			w := written{}
			if err := h.readNote(&w, e); err != nil {
				return err
			}
			return notes.place(&w)
		case "backup", "forward":
			notes.first = unsaid // of a chord
			return h.move(e.Name.Local == "backup")
		case "attributes":
			return h.attributes()
		case "direction":
			d := directions{hand: h}
			if err := d.read(); err != nil {
				return err
			}
			return d.commit()
		case "sound":
			d := directions{hand: h}
			if err := d.readSound(e); err != nil {
				return err
			}
			return d.commit()
		case "barline":
			return h.barline(e)
		}
		return nil
	})
	if err != nil {
		return err
	}
	notes.late()
	overRests(h.p.measures[h.k], notes.rests)
	f := h.frame(h.k)
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
	if back {
		return h.forward(-divisions)
	}
	err = h.forward(divisions)
	h.rested = max(h.rested, h.at())
	return err
}
