package balance

import (
	"math"

	"swellbox/expr"
	"swellbox/expr/hearing"
	"swellbox/expr/lines"
	"swellbox/expr/voices"
)

// reading is what the notes of a piece say of its parts, bar by bar: how much each draws the ear, and
// which go together.
type reading struct {
	draws [][]float64 // by bar, by part: log odds that it has the tune, whatever its loudness
	lines [][]int     // by bar, by part: the first part of the line that it is in, −1 for none
	solos [][]bool    // by bar, by part: it is marked solo; nil where no score says so
}

// lineOf is the line that a part is in: its own where it rests, but what it began sounds.
func (r *reading) lineOf(bar, part int) int {
	if line := r.lines[bar][part]; line >= 0 {
		return line
	}
	return part
}

// read reads them. A piece of one part, or too large a one, has one line for each part, and none draws more.
func (s *score) read() *reading {
	r := &reading{}
	written := &expr.Score{}
	notes := make([][]lines.Note, len(s.parts))
	for i := range s.parts {
		written.Parts = append(written.Parts, s.parts[i].name)
		for _, n := range s.parts[i].notes {
			written.Notes = append(written.Notes, expr.Written{Beat: n.from, Length: n.to - n.from, Key: n.key, Part: uint16(i), Velocity: middling})
			notes[i] = append(notes[i], lines.Note{From: n.from, To: n.to, Key: int(n.key)})
		}
	}
	tied := lines.Read(notes)
	sung := voices.ReadParts(hearing.SungBy(written))
	var drawing []float64
	if sung != nil {
		drawing = sung.Drawing()
	}
	for bar := range s.barCount() {
		from, to := s.quarters[bar], s.quarters[bar+1]
		draws, of := make([]float64, len(s.parts)), make([]int, len(s.parts))
		for i := range of {
			of[i] = i
		}
		if tied != nil {
			tied.Line(tied.Step(from+within), tied.Step(to-within)+1, of)
		}
		if sung != nil {
			mean(drawing, draws, sung.Step(from+within), sung.Step(to-within)+1)
		}
		r.draws, r.lines = append(r.draws, draws), append(r.lines, of)
	}
	return r
}

// middling is the velocity of all notes, for who counts what they draw without their loudness; within is
// a place surely in a bar, in quarter notes from its lines.
const (
	middling = 64
	within   = 1. / 64
)

// mean is what was told of each part over some steps.
func mean(steps, to []float64, first, end int) {
	for i := range to {
		for k := first; k < end; k++ {
			to[i] += steps[k*len(to)+i] / float64(end-first)
		}
	}
}

// What makes a part stand out, in log odds. All but the draw of its notes is ours: the movements that it was
// fitted to have no dynamics, and in them audibility adds nothing to it.
const (
	perDB     = 0.1  // for each dB over what the others mask
	mostDB    = 15.0 // more counts no more, nor does less than as much under
	joins     = 0.4  // share of what its line draws more than a part, that the part has of it
	nearFront = 3.0  // under the line in front, to be heard beside it
)

// standOut fills in who is in front in a bar, of a place.
func (b heardBar) standOut(in place) {
	best := map[int]float64{} // by line
	value := make([]float64, len(b))
	for i := range b {
		p := &b[i]
		h := &p.heard[in]
		value[i] = p.draws + perDB*min(max(h.audibilityDB, -mostDB), mostDB)
		if v, known := best[p.line]; !known || value[i] > v {
			best[p.line] = value[i]
		}
	}
	sum, front, most := 0.0, -1, math.Inf(-1)
	for i := range b {
		p := &b[i]
		value[i] += joins * (best[p.line] - value[i])
		sum += math.Exp(value[i])
		if best[p.line] > most && p.heard[in].lineDB >= 0 {
			front, most = p.line, best[p.line]
		}
	}
	for i := range b {
		p := &b[i]
		h := &p.heard[in]
		h.shareDB = max(10*(value[i]*math.Log10E-math.Log10(sum)), leastShareDB)
		switch {
		case h.state == Alone:
		case h.audibilityDB < 0 && h.lineDB < 0 && h.state != Colour:
			h.state = Lost
		case h.audibilityDB < 0 && (p.line == front || most-best[p.line] < nearFront):
			h.state = Colour
		case p.line == front:
			h.state = Front
		case most-best[p.line] < nearFront:
			h.state = Heard
		default:
			h.state = Background
		}
	}
}

// leastShareDB keeps what nobody listens to within what can be told.
const leastShareDB = -60
