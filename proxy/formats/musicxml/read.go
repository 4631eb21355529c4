package musicxml

import (
	"encoding/xml"
	"errors"
	"fmt"
)

const (
	// MaxSize is the largest score that is read, unpacked, in bytes. An orchestral
	// symphony has about 100 MB (from memory).
	MaxSize = 256 << 20
	// maxParts bounds the parts of a score.
	maxParts = 1000
	// maxNotes bounds the notes of a score, as played.
	maxNotes = 4_000_000
	// maxMarks bounds the dynamic marks, hairpins and pedals of a score, and its tempos.
	maxMarks = 1_000_000
)

// placed adds part and measure to an error of the source, which knows neither.
func (r *reader) placed(err error) error {
	var e *SyntaxError
	if errors.As(err, &e) && e.Part == "" && e.Measure == "" {
		here := r.here()
		e.Part, e.Measure = here.Part, here.Measure
		if e.Line == 0 {
			e.Line = here.Line
		}
	}
	return err
}

// reader holds what is known of a score while it is read.
type reader struct {
	score
	xml   *source
	byID  map[string]*part
	notes int

	placing Grace
	marks   int

	now         *part  // that is being read; nil outside of parts
	measureName string // that is being read; empty outside of measures
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

// frame is the measure of an index, made if need be.
func (r *reader) frame(k int) *frame {
	for len(r.frames) <= k {
		r.frames = append(r.frames, frame{})
	}
	return &r.frames[k]
}

// fault is an error at the place that is being read.
func (r *reader) fault(format string, args ...any) *SyntaxError {
	e := r.here()
	e.Reason = fmt.Sprintf(format, args...)
	return e
}

// warn notes what is wrong at the place that is being read but can be read over.
func (r *reader) warn(format string, args ...any) {
	r.note(r.here(), format, args...)
}

func (r *reader) here() *SyntaxError {
	e := &SyntaxError{Measure: r.measureName}
	if r.xml != nil {
		e.Line = r.xml.line()
	}
	if r.now != nil {
		e.Part = r.now.id
	}
	return e
}
