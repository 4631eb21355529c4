package hearing

import (
	"swellbox/expr"
	"swellbox/expr/thresholds"
)

// Stroke is how hard a note is struck among those that are struck with it, as far as is known before
// it is due.
type Stroke struct {
	Notes    int     // that are struck together
	Place    int     // among them as they came in, from 0
	Velocity float64 // that came in, their mean
	DB       float64 // that the touch adds to the note
	MeanDB   float64 // and in the mean to all of them
}

// topOverDB is by how much pianists strike the highest note of a chord harder than the others, dB:
// 11 velocities at 64 in the mean of 439 performances (Goebl 1999; Hu and Widmer 2023; Peter et al. 2023).
const topOverDB = 2.8

// Stroke finds how hard a note of a part is struck that waits to sound, by so much of each
// habit of the touch. index is the note's in the score.
func (l *Listener) Stroke(part int, tone int64, index int, by *expr.Touch) Stroke {
	s, top := l.lines[part].struckWith(tone)
	if s.Notes < 2 {
		return s
	}
	if db, mean, ok := l.Score.stroke(index, by); ok {
		s.DB, s.MeanDB = db, mean
		return s
	}
	over := topOverDB * by[expr.TopLine]
	s.MeanDB = over / float64(s.Notes)
	if top {
		s.DB = over
	}
	return s
}

// struckWith finds the notes that are known to be struck with one, and reports whether it is the highest.
func (l *Line) struckWith(number int64) (s Stroke, top bool) {
	t := l.Tone(number)
	if t == nil {
		return Stroke{}, false
	}
	top = true
	add := func(o *Tone) bool {
		if o == nil || (o.On-t.On).Abs() > thresholds.Onset {
			return false
		}
		s.Notes++
		s.Velocity += float64(o.velocity)
		top = top && o.Key <= t.Key
		return true
	}
	for n := number; add(l.Tone(n)); n-- {
	}
	s.Place = s.Notes - 1
	for n := number + 1; add(l.Tone(n)); n++ {
	}
	s.Velocity /= float64(s.Notes)
	return s, top
}

// stroke tells by how much a note of the score is struck harder, and in the mean what is struck with it.
func (s *Score) stroke(index int, by *expr.Touch) (db, mean float64, ok bool) {
	if !s.has(index) {
		return 0, 0, false
	}
	defer s.lose()
	s.trial.Of(expr.OfScore)
	read := s.reading.readTouch(s.score.Notes[index].Part)
	number, ok := read.Number(index)
	if !ok {
		return 0, 0, false
	}
	db, mean = read.Stroke(number, by)
	return db, mean, true
}
