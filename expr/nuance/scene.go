package nuance

import (
	"math"
	"time"

	"swellbox/expr"
	"swellbox/expr/thresholds"
)

const (
	// apart is how far apart notes of one moment begin, s.
	apart = float64(thresholds.Onset) / 1e9
	// reach and reachNotes bound how far back a note is looked for that still sounds.
	reach      = 12.0
	reachNotes = 64
	maxTerms   = 96 // of a habit
	// A scene that is not of a whole score remembers at most and at least so many notes.
	maxNotes  = 1536
	keptNotes = 768
)

// begins are when each note and each moment begins: apart from what else is known of them, as these are
// searched.
type begins struct{ notes, moments []float64 }

// Scene is the notes of one part, as they are known. Its zero value is one of a part that
// has not begun.
type Scene struct {
	notes   []note
	moments []moment
	begins  begins
	dropped int64 // notes that are forgotten
	start   float64
	end     float64 // of a whole score
	whole   bool
	written bool // a dynamic is known of one of the notes

	mean    expr.Touch // what the habits add in the mean
	settled bool       // of a whole score: the mean is known
	asked   int64      // else: the number after the highest that was asked for
	heard   float64    // and how many notes the mean counts as; 0 before the first

	view  view // what is looked at: kept, so that nothing is allocated
	sink  sink
	terms [maxTerms]float64
}

// NewScene makes a scene of notes that come one after the other, warm.
func NewScene() *Scene {
	return &Scene{notes: make([]note, 0, maxNotes), moments: make([]moment, 0, maxNotes), begins: begins{make([]float64, 0, maxNotes), make([]float64, 0, maxNotes)}}
}

// Reset forgets everything.
func (s *Scene) Reset() {
	*s = Scene{notes: s.notes[:0], moments: s.moments[:0], begins: begins{s.begins.notes[:0], s.begins.moments[:0]}}
}

// Begin adds a note, which does not begin before the one added last, and returns its number.
func (s *Scene) Begin(n *Note) (number int64) {
	if len(s.notes) >= maxNotes && !s.whole {
		s.forget()
	}
	i := len(s.notes)
	x := note{on: n.On.Seconds(), off: math.Inf(1), key: float64(n.Key), hand: min(n.Hand, Left), metre: n.Metre, marks: n.Marks, written: n.Written}
	if n.Off != Sounds {
		x.off = max(n.Off.Seconds(), x.on)
	}
	if i == 0 && s.dropped == 0 {
		s.start = x.on
	}
	if i > 0 {
		b := &s.notes[i-1]
		x.on = max(x.on, b.on)
		x.keys, x.level, x.classes = b.keys+b.key, b.level+float64(b.written.Line), b.classes
		x.classes[int(b.key)%12]++
	}
	if k := len(s.moments); k == 0 || x.on-s.moments[k-1].at > apart {
		s.open(&x)
	}
	x.moment = int32(len(s.moments) - 1)
	m := &s.moments[x.moment]
	m.n++
	m.sounding++
	m.top, m.bottom = max(m.top, x.key), min(m.bottom, x.key)
	m.high, m.low = max(m.high, x.key), min(m.low, x.key)
	m.chroma |= 1 << (int(x.key) % 12)
	s.notes, s.begins.notes = append(s.notes, x), append(s.begins.notes, x.on)
	s.written = s.written || n.Marked
	return s.dropped + int64(i)
}

// open begins a moment with its first note, which is not in the scene yet.
func (s *Scene) open(x *note) {
	m := moment{at: x.on, first: int32(len(s.notes)), top: -1, high: -1, bottom: 200, low: 200}
	if k := len(s.moments); k > 0 {
		b := &s.moments[k-1]
		m.pastNotes, m.pastSounding = b.pastNotes+float64(b.n), b.pastSounding+float64(b.sounding)
		m.pastTops, m.pastN = b.pastTops, b.pastN
		if b.leads() {
			m.pastTops, m.pastN = m.pastTops+b.top, m.pastN+1
		}
	}
	silent := 0.0
	for j := len(s.notes) - 1; j >= 0 && j > len(s.notes)-reachNotes && s.notes[j].on > x.on-reach; j-- {
		b := &s.notes[j]
		if b.off > x.on+tinyOverlap {
			m.high, m.low = max(m.high, b.key), min(m.low, b.key)
			m.sounding++
		}
		silent = max(silent, b.off)
	}
	if silent > 0 {
		m.rest = min(max(x.on-silent, 0), 2)
	}
	s.moments, s.begins.moments = append(s.moments, m), append(s.begins.moments, m.at)
}

// tinyOverlap is by how much a note may last into the next and not sound with it, s.
const tinyOverlap = 0.001

// End tells when a note ends.
func (s *Scene) End(number int64, at time.Duration) {
	if i := number - s.dropped; i >= 0 && i < int64(len(s.notes)) {
		s.notes[i].off = max(at.Seconds(), s.notes[i].on)
	}
}

// forget drops the older part of the notes.
func (s *Scene) forget() {
	from := len(s.notes) - keptNotes
	first := s.notes[from].moment
	from = int(s.moments[first].first) // whole moments only
	if from == 0 {
		return
	}
	s.notes = s.notes[:copy(s.notes, s.notes[from:])]
	s.moments = s.moments[:copy(s.moments, s.moments[first:])]
	b := &s.begins
	b.notes, b.moments = b.notes[:copy(b.notes, b.notes[from:])], b.moments[:copy(b.moments, b.moments[first:])]
	for i := range s.notes {
		s.notes[i].moment -= first
	}
	for i := range s.moments {
		s.moments[i].first -= int32(from)
	}
	s.dropped += int64(from)
}

// topLength is the length of the highest note of a moment, on the scale of logLength.
func (s *Scene) topLength(m *moment) float64 {
	for j := m.first; j < m.first+m.n; j++ {
		if n := &s.notes[j]; n.key == m.top {
			return n.logLength()
		}
	}
	return 0
}

// classesBefore are the pitch classes of the moments within so many seconds before one.
func (s *Scene) classesBefore(moment int, span float64) (chroma uint16) {
	const most = 80 // moments
	at := s.moments[moment].at
	for j := moment - 1; j >= 0 && j > moment-most && s.moments[j].at > at-span; j-- {
		chroma |= s.moments[j].chroma
	}
	return chroma
}
