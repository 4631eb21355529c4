package match

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"time"
)

const (
	// MaxSize is the largest file that is read, in bytes. A sonata's movement of 24 minutes
	// with both pedals has 1.6 MB.
	MaxSize = 64 << 20
	// maxNotes bounds the notes of a score, and those of a performance.
	maxNotes = 500_000
	// maxPedals bounds the movements of one pedal.
	maxPedals = 2_000_000
	// maxMetres bounds the time signatures.
	maxMetres = 20_000
	// maxBeats bounds where a note may lie.
	maxBeats = 1e7
	// maxTime bounds when a note may be played.
	maxTime = 48 * time.Hour
	// maxWarnings is how many warnings are kept of one file.
	maxWarnings = 100
)

// A SyntaxError tells where a file stops making sense.
type SyntaxError struct {
	Line   int    // from 1; 0 where it is the whole file
	Reason string // what is wrong, and what to do
}

func (e *SyntaxError) Error() string {
	if e.Line == 0 {
		return e.Reason
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Reason)
}

// ReadFile reads the alignment at path, of at most [MaxSize] bytes. Its errors name the path.
func ReadFile(path string) (*Alignment, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, MaxSize+1))
	if err != nil {
		return nil, err
	}
	a, err := Read(b)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return a, nil
}

// Read reads an alignment. The result keeps nothing of b. What is wrong with the file as a
// whole is a [*SyntaxError].
//
// Lines that are damaged or of a kind that is not known are read over, with a warning.
func Read(b []byte) (*Alignment, error) {
	if len(b) > MaxSize {
		return nil, &SyntaxError{Reason: fmt.Sprintf("the file is over %d bytes, too large for an alignment: split it", MaxSize)}
	}
	r := &reader{units: 480, rate: 500_000, byID: map[string]int{}, words: map[string]string{}, strange: map[string]bool{}}
	for len(b) > 0 {
		var line []byte
		line, b, _ = bytes.Cut(b, []byte("\n"))
		r.line++
		if line = bytes.TrimSpace(line); len(line) == 0 {
			continue
		}
		if err := r.read(string(line)); err != nil {
			return nil, err
		}
	}
	return r.finish()
}

// reader is one reading of a file.
type reader struct {
	Alignment
	line    int
	units   int64 // ticks a quarter note
	rate    int64 // microseconds a quarter note
	ticks   []tick
	foot    [2][]press
	byID    map[string]int    // score notes
	words   map[string]string // one copy of what comes again and again
	strange map[string]bool   // kinds of lines that were warned of
}

// tick is when a played note starts and ends, in ticks: what a tick is may come later in the file.
type tick struct{ on, off int64 }

// press is a pedal's movement, in ticks.
type press struct {
	at    int64
	value uint8
}

// read takes one line.
func (r *reader) read(line string) error {
	kind, rest, ok := strings.Cut(line, "(")
	switch {
	case ok && kind == "info":
		return r.info(rest)
	case ok && (kind == "scoreprop" || kind == "meta"):
		return r.property(rest)
	case r.Version == "":
		return r.fault("an alignment begins with info(matchFileVersion,…): this is no match file")
	case ok && kind == "snote":
		return r.pair(rest)
	case ok && (kind == "insertion-note" || kind == "hammer_bounce-note" || kind == "trailing_played_note-note"):
		return r.added(rest)
	case ok && (strings.HasPrefix(kind, "ornament") || strings.HasPrefix(kind, "trill")):
		if _, note, ok := strings.Cut(rest, ")-note("); ok {
			return r.added(note)
		}
		r.warn("an ornament without its note is left out")
	case ok && kind == "sustain":
		return r.pedal(0, rest)
	case ok && kind == "soft":
		return r.pedal(1, rest)
	case ok && (kind == "section" || kind == "stime" || kind == "ptime"):
		// Where a section of the score lies, and when a beat was played: not needed.
	default:
		if kind = fmt.Sprintf("%.40q", kind); !r.strange[kind] && len(r.strange) < maxWarnings {
			r.strange[kind] = true
			r.warn("lines that begin with %s are not known and left out", kind)
		}
	}
	return nil
}

// finish puts all in order and turns ticks into time.
func (r *reader) finish() (*Alignment, error) {
	r.line = 0
	if r.Version == "" {
		return nil, r.fault("the file is empty: an alignment begins with info(matchFileVersion,…)")
	}
	for i, t := range r.ticks {
		r.Played[i].On, r.Played[i].Off = r.time(t.on), r.time(t.off)
	}
	for k, out := range []*[]Pedal{&r.Sustain, &r.Soft} {
		*out = make([]Pedal, len(r.foot[k]))
		for i, p := range r.foot[k] {
			(*out)[i] = Pedal{At: r.time(p.at), Value: p.value}
		}
		slices.SortStableFunc(*out, func(a, b Pedal) int { return cmp.Compare(a.At, b.At) })
	}
	for i := range r.Metres {
		if math.IsInf(r.Metres[i].At, -1) { // the one in the heading: from the start
			r.Metres[i].At = 0
			for _, n := range r.Score {
				r.Metres[i].At = min(r.Metres[i].At, n.Onset)
			}
		}
	}
	slices.SortStableFunc(r.Metres, func(a, b Metre) int { return cmp.Compare(a.At, b.At) })
	r.Metres = slices.CompactFunc(r.Metres, func(a, b Metre) bool { return a == b })
	a := r.Alignment
	return &a, nil
}

// time is a number of ticks as time, held within maxTime.
func (r *reader) time(ticks int64) time.Duration {
	t := float64(ticks) / float64(r.units) * float64(r.rate) * float64(time.Microsecond)
	return time.Duration(min(t, float64(maxTime)))
}

func (r *reader) fault(format string, args ...any) error {
	return &SyntaxError{Line: r.line, Reason: fmt.Sprintf(format, args...)}
}

// warn notes what is wrong in a line but can be read over.
func (r *reader) warn(format string, args ...any) {
	switch n := len(r.Warnings); {
	case n < maxWarnings:
		r.Warnings = append(r.Warnings, fmt.Sprintf("line %d: %s", r.line, fmt.Sprintf(format, args...)))
	case n == maxWarnings:
		r.Warnings = append(r.Warnings, fmt.Sprintf("line %d: further warnings are left out", r.line))
	}
}
