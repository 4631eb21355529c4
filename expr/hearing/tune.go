package hearing

import (
	"swellbox/expr"
	"swellbox/expr/voices"
)

// tunes say who has the tune of a score: by the whole of it, so that a change is known when it comes.
type tunes struct {
	parts    *voices.Parts
	count    int
	holder   []int     // by step
	salience []float32 // by step, by part
	with     []int     // by part: latest notes that went with the tune
}

// tunesOf finds them; nil where there is nothing to compare.
func tunesOf(s *expr.Score) *tunes {
	sung, kinds := SungBy(s)
	p := voices.ReadParts(sung, kinds)
	if p == nil {
		return nil
	}
	t := &tunes{parts: p}
	t.count, _ = p.Size()
	t.holder, t.salience = p.Tune()
	t.with = make([]int, t.count)
	return t
}

// goesWith is how many notes in succession a part must have begun with the tune, in unison or octaves, to be
// as much the tune. Ours.
const goesWith = 2

// lacks is how much less than the tune a note is, 0..1. A part's notes come in their order.
func (t *tunes) lacks(n *expr.Written) float32 {
	part, step := int(n.Part), t.parts.Step(n.Beat)
	if key, begins := t.parts.Begins(t.holder[step], n.Beat); begins && key%12 == int(n.Key)%12 {
		t.with[part]++
	} else {
		t.with[part] = 0
	}
	if t.with[part] >= goesWith {
		return 0
	}
	return 1 - t.salience[step*t.count+part]
}
