package nuance

import (
	"math"

	"swellbox/expr"
)

// atMezzoForte is what the written level adds where mf is written, by grade, dB: it is the
// level that nothing is to be added to.
var atMezzoForte = func() (db [Grades]float64) {
	v := view{s: &Scene{}, n: &note{written: Written{Marked: true, Left: never}}, top: true, count: 1}
	v.notes = []note{*v.n}
	first := 0
	for k := range groups {
		g := &groups[k]
		if g.habit == expr.WrittenLevel {
			t := sink{to: make([]float64, len(g.names))}
			g.terms(&v, &t)
			for known := range db {
				for j, x := range t.to {
					db[known] += weights[known][first+j] * x
				}
			}
		}
		first += len(g.names)
	}
	return db
}()

// Where a scene is not whole, the mean that a habit goes about is at first that of the pieces of the corpus, which counts
// as much as trusted notes; it follows what is heard over some memory of notes, several minutes of
// music, so that a loud page stays loud. Ours.
const (
	trusted = 500
	memory  = 2000
)

// mostUnder is by how much one habit has a note be softer than the mean at first, where the piece is not
// known, dB: what is thin or low by the measure of the corpus may be all that comes. The more of the
// mean is the piece's own, the farther down it goes. Ours.
const mostUnder = 3

// under is that bound after so many notes, dB.
func under(heard float64) float64 { return mostUnder * max(heard, trusted) / trusted }

// sameLine is how far below the line before, in semitones, a note that is the highest so far may be of
// it, where the rest of its chord is not known: what is lower may be the bass that came first. Ours: a
// fifth.
const sameLine = 7

// tiny is what is left of a mean of equal numbers, dB.
const tiny = 1e-9

// Touch tells what each habit adds to a note by its number, dB, at a grade of foreknowledge, and
// whether the note leads the line on top. A habit adds nothing in the mean: over the whole
// score, or over the corpus and the notes that were asked for so far. Only what is written counts from mezzo
// forte. A note that is forgotten is given nothing.
func (s *Scene) Touch(number int64, known Known, to *expr.Touch) (leads bool) {
	i := number - s.dropped
	if i < 0 || i >= int64(len(s.notes)) {
		*to = expr.Touch{}
		return false
	}
	s.touch(int(i), known, to)
	switch {
	case s.whole && !s.settled:
		s.settle(known)
		s.touch(int(i), known, to)
	case !s.whole && number >= s.asked:
		s.asked = number + 1
		if s.heard == 0 {
			s.mean, s.heard = usual[min(known, Ahead)], trusted
		}
		s.heard = min(s.heard+1, memory)
		for h := range to {
			s.mean[h] += (to[h] - s.mean[h]) / s.heard
		}
	}
	lowest := -under(s.heard)
	for h := range to {
		if to[h] -= s.mean[h]; math.Abs(to[h]) < tiny {
			to[h] = 0
		}
		if !s.whole {
			to[h] = max(to[h], lowest)
		}
	}
	return s.leads(known)
}

// leads reports whether the note that was looked at leads the line on top, as far as is known.
func (s *Scene) leads(known Known) bool {
	v := &s.view
	return v.top && (known != Sounded || v.before == nil || v.n.key >= v.before.top-sameLine)
}

// settle finds what the habits add in the mean of a whole score.
func (s *Scene) settle(known Known) {
	const enough = 600 // notes
	s.settled = true
	var sum expr.Touch
	n := 0.0
	for i := 0; i < len(s.notes); i += 1 + len(s.notes)/enough {
		var one expr.Touch
		s.touch(i, known, &one)
		for h := range sum {
			sum[h] += one[h]
		}
		n++
	}
	for h := range sum {
		s.mean[h] = sum[h] / n
	}
	s.mean[expr.WrittenLevel], s.mean[expr.WrittenSigns] = 0, 0
}

// touch computes what each habit adds to note i.
func (s *Scene) touch(i int, known Known, to *expr.Touch) {
	v := &s.view
	v.look(s, i, known)
	w := weights[known]
	for k := range groups {
		g := &groups[k]
		n := len(g.names)
		to[g.habit] = 0
		if g.habit == expr.WrittenLevel && !s.written || g.habit == expr.TwoHands && v.n.hand == AnyHand {
			w = w[n:]
			continue
		}
		s.sink = sink{to: s.terms[:n]}
		g.terms(v, &s.sink)
		for j, x := range s.sink.to {
			to[g.habit] += w[j] * x
		}
		w = w[n:]
	}
	if s.written {
		to[expr.WrittenLevel] -= atMezzoForte[known]
	}
}
