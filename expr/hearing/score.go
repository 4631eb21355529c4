package hearing

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/timing"
)

// Score is a score as the listener has read it, or none, and where in it the music is.
type Score struct {
	score   *expr.Score // that is loaded, or nil
	reading *reading    // of it, or nil
	trial   expr.Trial
	fault   error // why it is not known any more

	pace    float64       // how much faster than it is written the music goes
	foundAt time.Duration // when a note was last found in it
	found   time.Duration // and where there
}

// load reads a score; nil or one without notes: none.
func (s *Score) load(score *expr.Score) {
	s.score, s.pace = score, 1
	s.read()
}

// read reads the score, if there is one.
func (s *Score) read() {
	s.reading, s.fault = nil, nil
	if s.score == nil || len(s.score.Notes) == 0 {
		return
	}
	defer s.lose()
	s.trial.Of(expr.OfScore)
	s.reading = read(s.score, s.trial)
}

// prepare reads what who plays a channel will ask for.
func (s *Score) prepare(channel int, touches, pedals bool) {
	if s.reading != nil && (touches || pedals) {
		defer s.lose()
		s.reading.prepare(channel, touches, pedals)
	}
}

// lose is deferred where the score is read.
func (s *Score) lose() {
	if r := recover(); r != nil {
		s.reading, s.fault = nil, expr.OfScore.Loss(r)
	}
}

// lost is what of it is not known any more, or nil.
func (s *Score) lost() error {
	if s.reading != nil {
		return expr.InOne(s.fault, s.reading.lost())
	}
	return s.fault
}

// Loaded reports whether there is a score, and it is known.
func (s *Score) Loaded() bool { return s.reading != nil }

// Calls reports whether a note of the score, by its index, is written as a keyswitch.
func (s *Score) Calls(index int) bool { return s.has(index) && s.score.Notes[index].Calls }

func (s *Score) has(index int) bool {
	return s.reading != nil && index >= 0 && index < len(s.reading.notes)
}

// Course is how the score goes; there must be one.
func (s *Score) Course() *timing.Course { return s.reading.course() }

// SetPace tells how much faster than the score's written tempo the music goes: 1 as written.
// Other paces than 1/8 to 8 are taken as the nearest of these.
func (s *Score) SetPace(pace float64) { s.pace = min(max(pace, 1./8), 8) }

// Find has a note, by its index in the score, be where the music is at a time. An index that the
// score does not have is passed over.
func (s *Score) Find(index int, at time.Duration) {
	if s.has(index) {
		s.foundAt, s.found = at, s.score.Notes[index].On
	}
}

// Time is where in the score's written time the music is at a time, by the latest note that was found.
func (s *Score) Time(at time.Duration) time.Duration {
	return s.found + time.Duration(float64(at-s.foundAt)*s.pace)
}

// recall tells what is known from the score, and reports whether the note stands there.
func (s *Score) recall(n *expr.Note, index int, touches, pedals bool) (is bool) {
	if !s.has(index) || s.reading.notes[index].tone == 0 {
		return false
	}
	defer s.lose()
	s.trial.Of(expr.OfScore)
	s.reading.describe(n, index, s.pace, touches, pedals)
	return true
}
