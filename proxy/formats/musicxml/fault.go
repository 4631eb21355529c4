package musicxml

import (
	"fmt"
	"strings"
)

// maxWarnings is how many warnings are kept of one file.
const maxWarnings = 100

// damaged ends the reasons for which there is nothing to do but to get a better file.
const damaged = "the file is damaged here; export it again"

// A SyntaxError tells where a file stops making sense.
type SyntaxError struct {
	Line    int    // from 1; 0 where it is the whole file
	Part    string // identifier of the part it lies in; may be empty
	Measure string // number of the measure it lies in; may be empty
	Reason  string // what is wrong, and what to do
}

func (e *SyntaxError) Error() string { return e.place() + e.Reason }

func (e *SyntaxError) place() string {
	var b strings.Builder
	if e.Line > 0 {
		fmt.Fprintf(&b, "line %d, ", e.Line)
	}
	if e.Part != "" {
		fmt.Fprintf(&b, "part %.40q, ", e.Part)
	}
	if e.Measure != "" {
		fmt.Fprintf(&b, "measure %.40q, ", e.Measure)
	}
	if s := strings.TrimSuffix(b.String(), ", "); s != "" {
		return s + ": "
	}
	return ""
}

// refused is an error of the whole file.
func refused(format string, args ...any) *SyntaxError {
	return &SyntaxError{Reason: fmt.Sprintf(format, args...)}
}

// note is warn for any place.
func (r *score) note(at *SyntaxError, format string, args ...any) {
	switch n := len(r.warnings); {
	case n < maxWarnings:
		r.warnings = append(r.warnings, at.place()+fmt.Sprintf(format, args...))
	case n == maxWarnings:
		r.warnings = append(r.warnings, at.place()+"further warnings are left out")
	}
}
