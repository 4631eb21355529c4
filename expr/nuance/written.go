package nuance

import "swellbox/expr"

var levelNames = []string{
	"level over mp", "level over f", "level on its own staff", "a dynamic holds",
	"step to the level, for 2 s", "step to the level, for 30 s", "step that comes, for 20 s",
	"level with hairpins", "the same in the last 10 s", "the same in the last 30 s", "is under a crescendo",
	"level with hairpins, if highest", "the same, if lowest", "the same, by height",
}

// writtenLevel is what the score's dynamics say.
func (v *view) writtenLevel(t *sink) {
	w := &v.n.written
	level, step := float64(w.Level), float64(w.Level-w.Before)
	const mezzoPiano = -1.5 // marks: halfway from mp to p
	t.add(max(0, level-mezzoPiano))
	t.add(max(0, level-1))
	t.add(float64(w.Staff))
	t.flag(w.Marked)
	t.add(step * fade(float64(w.Age), 2))
	t.add(step * fade(float64(w.Age), 30))
	t.add(float64(w.After-w.Level) * fade(float64(w.Left), 20))
	line := float64(w.Line)
	t.add(line)
	t.add(v.lineBefore(10))
	t.add(v.lineBefore(30))
	t.flag(v.n.marks.Has(expr.Louder))
	t.add(line * is(v.top))
	t.add(line * is(v.bottom && v.count > 1))
	t.add(line * (v.n.key - 64) / 12)
}

// lineBefore is the mean of Line within so many seconds before; the note's own where nothing is.
func (v *view) lineBefore(span float64) float64 {
	if lo := reachBack(v.s.begins.notes, v.n.on-span, v.i); lo < v.i {
		return (v.n.level - v.notes[lo].level) / float64(v.i-lo)
	}
	return float64(v.n.written.Line)
}

var signNames = []string{"has a sforzato", "has an accent", "has a strong accent", "has a wedge"}

// writtenSigns is what is written over the note itself.
func (v *view) writtenSigns(t *sink) {
	m, w := v.n.marks, &v.n.written
	t.flag(w.Sforzato)
	t.flag(m.Has(expr.Accented) && !w.Sforzato)
	t.flag(m.Has(expr.Marcato))
	t.flag(m.Has(expr.Staccatissimo))
}
