package touch

import (
	"math"

	"swellbox/expr"
)

// markTerms are of what is written over the note.
func (p *part) markTerms(i int, r *row, logs float64) {
	m := p.notes[i].Marks
	dot, wedge := flag(m.Has(expr.Staccato)), flag(m.Has(expr.Staccatissimo))
	under := flag(m&(expr.SlurBegins|expr.SlurGoesOn) != 0)
	r.add("marks: staccato", dot)
	r.add("marks: staccatissimo", wedge)
	r.add("marks: length of a staccato", dot*logs)
	r.add("marks: length of a staccatissimo", wedge*logs)
	r.is("marks: accent", m&(expr.Accented|expr.Marcato) != 0)
	r.is("marks: tenuto", m.Has(expr.Tenuto))
	r.is("marks: fermata", m.Has(expr.Fermata))
	r.add("marks: joined to the next by a slur", under)
	r.is("marks: a slur begins", m.Has(expr.SlurBegins))
	r.add("marks: length under a slur", under*logs)
	r.add("marks: dots around", p.around[i].dots)
	r.add("marks: slurs around", p.around[i].slurs)
	p.slurTerms(i, r)
	p.dotTerms(i, r)
}

// slurTerms are of where the note lies under a slur.
func (p *part) slurTerms(i int, r *row) {
	n, h := &p.notes[i], &p.hands[i]
	under, ends := n.Marks&underSlur != 0, n.Marks.Has(expr.SlurEnds)
	joins := math.Abs(h.until(n)) < atOnce
	r.is("marks: slurred in the left", under && h.left)
	r.is("marks: slurred and goes on", under && joins)
	r.is("marks: slurred over others", under && h.under > 0)
	r.is("marks: a slur ends and it goes on", ends && joins)
	r.is("marks: a slur ends on a beat", ends && p.metre[i] >= 1)
	r.is("marks: a slur ends and one goes on", ends && under)
}

// dotTerms are of a dot and what is around it.
func (p *part) dotTerms(i int, r *row) {
	n, h := &p.notes[i], &p.hands[i]
	dot := n.Marks&dotted != 0
	r.is("marks: staccato under a slur", dot && n.Marks&(underSlur|expr.SlurEnds) != 0)
	r.add("marks: staccato of a chord", flag(dot)*math.Log(h.size))
	r.is("marks: staccato on a beat", dot && p.metre[i] >= 1)
	r.add("marks: staccato among others", flag(dot)*p.around[i].dots)
	r.add("marks: dots around, in the left", p.around[i].dots*flag(h.left))
	r.is("marks: its hand's next is staccato", h.nextDot)
	r.is("marks: its hand's last is staccato", h.lastDot)
	r.add("marks: level of a staccato", level(n)*flag(dot))
}

// plainTerms are of what has neither dot nor slur, among what has, and of how loud it is written.
func (p *part) plainTerms(i int, r *row, logs float64) {
	n, h := &p.notes[i], &p.hands[i]
	plain := flag(n.Marks&(dotted|underSlur|expr.SlurEnds) == 0)
	r.is("marks: plain among dots", plain == 1 && p.around[i].dots > 0.2)
	r.add("marks: length of plain by dots around", plain*p.around[i].dots*logs)
	r.add("marks: plain by slurs around", plain*p.around[i].slurs)
	r.add("marks: length of plain by slurs around", plain*p.around[i].slurs*logs)
	r.add("marks: plain that goes on", plain*flag(math.Abs(h.until(n)) < atOnce))
	r.add("marks: length by slurs near in its hand", h.slurs*logs)
	r.add("marks: length of a tenuto", flag(n.Marks.Has(expr.Tenuto))*logs)
	r.add("marks: level", level(n))
	r.add("marks: length by level", level(n)*logs)
}

const (
	dotted    = expr.Staccato | expr.Staccatissimo
	underSlur = expr.SlurBegins | expr.SlurGoesOn
)

// level is the written dynamic in marks over mezzo forte; 0 where none is known.
func level(n *expr.Written) float64 {
	if n.Dynamic == 0 {
		return 0
	}
	return n.OverMezzoForte()
}
