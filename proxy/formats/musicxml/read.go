package musicxml

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
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

// ReadFile reads the score at path, of at most [MaxSize] bytes. Its errors name the path.
func ReadFile(path string) (*Document, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	d, err := ReadFrom(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return d, nil
}

// ReadFrom reads a score of at most [MaxSize] bytes from r.
func ReadFrom(r io.Reader) (*Document, error) {
	b, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	if err != nil {
		return nil, err
	}
	if len(b) > MaxSize {
		return nil, refused("the file is over %d bytes, too large for a score: split it", MaxSize)
	}
	return Read(b)
}

// Read reads a score: score-partwise or score-timewise, in UTF-8, UTF-16 or ISO-8859-1,
// or an .mxl file with one of them. The result keeps nothing of b. What is wrong
// with the score itself is a [*SyntaxError].
//
// These are read over, with a warning: values that are no numbers or out of range,
// notes that no MIDI key stands for, backups beyond the measure's start, chords of
// no note, jumps to marks that are not there, slurs that nothing ends.
func Read(b []byte) (*Document, error) {
	if packed(b) {
		plain, err := unpack(b)
		if err != nil {
			return nil, err
		}
		b = plain
	}
	if plain := newScanner(b); plain != nil {
		r := &reader{xml: scanned(plain), byID: map[string]*part{}}
		if r.score() == nil {
			return r.played()
		}
	}
	text, err := decoded(b)
	if err != nil {
		return nil, err
	}
	r := &reader{xml: newSource(text), byID: map[string]*part{}}
	if err := r.score(); err != nil {
		return nil, r.placed(err)
	}
	return r.played()
}

// played is what was read, played out.
func (r *reader) played() (*Document, error) {
	r.xml, r.now, r.measureName = nil, nil, ""
	return r.perform()
}

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
	xml      *source
	warnings []string
	parts    []*part // in the order of the part list
	byID     map[string]*part
	frames   frames // the measures, as far as they are common to the parts
	notes    int
	marks    int

	now         *part  // that is being read; nil outside of parts
	measureName string // that is being read; empty outside of measures
}

func (r *reader) score() error {
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
