package musicxml

import (
	"errors"
	"fmt"
)

const (
	// maxNotes bounds the notes of a score, as played.
	maxNotes = 4_000_000
	// maxMarks bounds the dynamic marks, hairpins and pedals of a score, and its tempos.
	maxMarks = 1_000_000
)

// page is the file as it is read, where the reading stands, and how much it has found.
type page struct {
	*score
	xml *source

	notes, marks int

	now         *part  // that is being read; nil outside of parts
	measureName string // that is being read; empty outside of measures
}

// fault is an error at the place that is being read.
func (r *page) fault(format string, args ...any) *SyntaxError {
	e := r.here()
	e.Reason = fmt.Sprintf(format, args...)
	return e
}

// warn notes what is wrong at the place that is being read but can be read over.
func (r *page) warn(format string, args ...any) {
	r.note(r.here(), format, args...)
}

func (r *page) here() *SyntaxError {
	e := &SyntaxError{Line: r.xml.line(), Measure: r.measureName}
	if r.now != nil {
		e.Part = r.now.id
	}
	return e
}

// placed adds part and measure to an error of the source, which knows neither.
func (r *page) placed(err error) error {
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

// count counts a note.
func (r *page) count() error {
	r.notes++
	if r.notes > maxNotes {
		return r.fault("the score has over %d notes: split it", maxNotes)
	}
	return nil
}

// enough checks how many marks there are.
func (r *page) enough() error {
	if r.marks > maxMarks {
		return r.fault("the score has over %d marks of dynamics, pedals and tempo: split it", maxMarks)
	}
	return nil
}
