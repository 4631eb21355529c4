package musicxml

import "encoding/xml"

// reader reads a score, by parts or by measures.
type reader struct {
	roster
	placing Grace
}

func newReader(xml *source, placing Grace) *reader {
	return &reader{roster{&page{score: &score{}, xml: xml}, map[string]*part{}}, placing}
}

func (r *reader) read() error {
	root, err := r.xml.root()
	if err != nil {
		return err
	}
	switch root.Name.Local {
	case "score-partwise":
		err = r.partwise()
	case "score-timewise":
		err = r.timewise()
	case "opus":
		err = r.fault("the file is a list of scores (opus), not a score: open one of them")
	default:
		err = r.fault("the file starts with <%.40s>, and a score with <score-partwise> or <score-timewise>: export it as MusicXML", root.Name.Local)
	}
	if err == nil && len(r.frames) == 0 {
		err = r.fault("the score has no measures: export it again")
	}
	return err
}

func (r *reader) partwise() error {
	read := map[*part]bool{}
	return r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "work", "movement-title":
			return r.titled(e)
		case "part-list":
			return r.partList()
		case "part":
			p, err := r.part(attribute(e, "id"))
			if err != nil {
				return err
			}
			if read[p] {
				r.warn("the part %.40q comes twice, and its second coming is left out", p.id)
				return nil
			}
			read[p] = true
			return r.within(p, func() error {
				k := 0
				return r.xml.children(func(e *xml.StartElement) error {
					if e.Name.Local != "measure" {
						return nil
					}
					k++
					return r.measure(k-1, e, r.content)
				})
			})
		}
		return nil
	})
}

func (r *reader) timewise() error {
	k := 0
	return r.xml.children(func(e *xml.StartElement) error {
		switch e.Name.Local {
		case "work", "movement-title":
			return r.titled(e)
		case "part-list":
			return r.partList()
		case "measure":
			k++
			return r.measure(k-1, e, func(k int) error {
				return r.xml.children(func(e *xml.StartElement) error {
					if e.Name.Local != "part" {
						return nil
					}
					p, err := r.part(attribute(e, "id"))
					if err != nil {
						return err
					}
					return r.within(p, func() error { return r.content(k) })
				})
			})
		}
		return nil
	})
}

// within reads a part, or a measure of it.
func (r *reader) within(p *part, read func() error) error {
	r.now = p
	err := read()
	if err == nil {
		r.now = nil
	}
	return err
}

// measure reads the measure of an index, in one part or in all.
func (r *reader) measure(k int, e *xml.StartElement, read func(k int) error) error {
	r.measureName = attribute(e, "number")
	if k >= maxMeasures {
		return r.fault("the score has over %d measures: split it", maxMeasures)
	}
	f := r.frame(k)
	if f.name == "" {
		f.name = r.measureName
	}
	f.implicit = f.implicit || attribute(e, "implicit") == "yes"
	err := read(k)
	if err == nil {
		r.measureName = ""
	}
	return err
}

// content reads what the part that is being read has in a measure.
func (r *reader) content(k int) error {
	if len(r.frames)*len(r.parts) > maxCells {
		return r.fault("the score has over %d measures in all its parts: split it", maxCells)
	}
	return readMeasure(hand{page: r.page, p: r.now, k: k}, r.placing)
}

// maxCells bounds the measures of all parts together.
const maxCells = 5_000_000
