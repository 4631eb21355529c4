package nuance

import "swellbox/expr"

// touched is what was found of a note of a score, of which nothing changes.
type touched struct {
	touch expr.Touch
	leads bool
	found bool
}

// Touch tells what each habit adds to a note by its number, and whether the note leads the line on top, as
// [Scene.Touch] does; what was asked for is kept.
func (r *Reading) Touch(number int64, to *expr.Touch) (leads bool) {
	if number < 0 || number >= int64(len(r.touched)) {
		*to = expr.Touch{}
		return false
	}
	t := r.find(number)
	*to = t.touch
	return t.leads
}

func (r *Reading) find(number int64) *touched {
	t := &r.touched[number]
	if !t.found {
		t.leads, t.found = r.scene.Touch(number, r.known, &t.touch), true
	}
	return t
}

// Stroke tells by how much a note is struck harder by so much of each habit, dB, and by how much in the
// mean all notes of its moment are.
func (r *Reading) Stroke(number int64, by *expr.Touch) (db, mean float64) {
	notes := r.scene.notes
	if number < 0 || number >= int64(len(notes)) {
		return 0, 0
	}
	moment := notes[number].moment
	first, after := number, number+1
	for first > 0 && notes[first-1].moment == moment {
		first--
	}
	for after < int64(len(notes)) && notes[after].moment == moment {
		after++
	}
	for n := first; n < after; n++ {
		x := 0.0
		for h, touch := range r.find(n).touch {
			x += by[h] * touch
		}
		if x = min(max(x, -expr.MaxTouchDB), expr.MaxTouchDB); n == number {
			db = x
		}
		mean += x / float64(after-first)
	}
	return db, mean
}
