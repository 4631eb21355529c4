package hearing

import (
	"math"

	"swellbox/expr"
	"swellbox/expr/voices"
)

// tunes say who has the tune of a score: by the whole of it, so that a change is known when it comes.
type tunes struct {
	parts    *voices.Parts
	count    int
	holder   []int     // by step
	salience []float32 // by step, by part
	starts   map[start]int
	with     []int // by part: latest notes that went with the tune
}

// tunesOf finds them; nil where there is nothing to compare.
func tunesOf(s *expr.Score) *tunes {
	sung, kinds := SungBy(s)
	p := voices.ReadParts(sung, kinds)
	if p == nil {
		return nil
	}
	t := &tunes{parts: p, starts: startsOf(sung)}
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
	if key, begins := t.starts[start{t.holder[step], tickOf(n.Beat)}]; begins && key%12 == int(n.Key)%12 {
		t.with[part]++
	} else {
		t.with[part] = 0
	}
	if t.with[part] >= goesWith {
		return 0
	}
	return 1 - t.salience[step*t.count+part]
}

// start is where a part begins a note.
type start struct {
	part int
	tick int64
}

// startsOf are the keys of the notes of all parts by where they begin.
func startsOf(parts [][]voices.Sung) map[start]int {
	all := map[start]int{}
	for i, notes := range parts {
		for _, n := range notes {
			at := start{i, tickOf(n.From)}
			all[at] = max(all[at], n.Key)
		}
	}
	return all
}

// tickOf is a place, exact enough to tell whether notes begin together.
func tickOf(quarter float64) int64 { return int64(math.Round(quarter * 24)) }
