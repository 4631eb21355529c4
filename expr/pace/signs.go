package pace

import (
	"math"

	"swellbox/expr"
)

// words are what is written of the tempo.
type words struct {
	slow, slowing, slowest series // under a ritardando: flag, how far, how far cubed
	hurry, hurrying        series // under an accelerando
	back                   series // after an a tempo
	pace, named            series // log of the written tempo, slower is more: by numbers, by words
	step                   series // the number changes
	kind                   [expr.SignKinds]series
}

// How long a change of tempo goes on that nothing ends, in bars. Ours.
const (
	slowBars  = 6
	hurryBars = 8
)

// signs takes the signs over the staves.
func (b *Beats) signs(signs []expr.Sign) {
	w := &b.words
	w.slow, w.slowing, w.slowest, w.hurry, w.hurrying, w.back = b.none(), b.none(), b.none(), b.none(), b.none(), b.none()
	w.pace, w.named = b.nowhere(), b.nowhere()
	for k := range w.kind {
		w.kind[k] = b.none()
	}
	b.section, b.keys, b.level, b.graces = b.none(), b.none(), b.nowhere(), b.none()
	home := math.NaN()
	for i := range signs {
		s := &signs[i]
		at := b.at(s.Beat)
		if b.inside(at) && int(s.Kind) < len(w.kind) {
			w.kind[s.Kind][at] = 1
		}
		from := max(at, 0)
		switch s.Kind {
		case expr.SectionBar:
			if b.inside(at) {
				b.section[at] = 1
			}
		case expr.KeyChange:
			if b.inside(at) {
				b.keys[at] = 1
			}
		case expr.HeldBar:
			if b.inside(at - 1) {
				b.held[at-1] = 1
			}
		case expr.Pace:
			b.from(from, w.pace, -math.Log(s.Value))
		case expr.PaceWord:
			v := -math.Log(s.Value / 100)
			if math.IsNaN(home) {
				home = v
			}
			b.from(from, w.named, v)
			if b.inside(at) {
				b.keys[at] = 1
			}
		case expr.PaceBack:
			if !math.IsNaN(home) {
				b.from(from, w.named, home)
			}
			if b.inside(at) {
				b.keys[at] = 1
			}
			for j := from; j < min(from+4, b.Count); j++ {
				w.back[j] = math.Exp(-float64(j-from) / 2)
			}
		case expr.Dynamic:
			b.from(from, b.level, (s.Value-72)/16)
		case expr.SlowDown, expr.DieAway:
			end := b.ended(signs[i+1:], at, slowBars)
			for j := from; j < end; j++ {
				x := float64(j-at+1) / float64(max(end-at, 1))
				w.slow[j], w.slowing[j], w.slowest[j] = 1, max(w.slowing[j], x), max(w.slowest[j], x*x*x)
			}
		case expr.HurryOn:
			end := b.ended(signs[i+1:], at, hurryBars)
			for j := from; j < end; j++ {
				w.hurry[j], w.hurrying[j] = 1, float64(j-at+1)/float64(max(end-at, 1))
			}
		}
	}
	b.level = b.level.each(func(x float64) float64 {
		if math.IsNaN(x) {
			return 0
		}
		return x
	})
	w.pace, w.named = w.pace.filled(), w.named.filled()
	w.step = w.pace.steps().each(func(x float64) float64 { return flag(math.Abs(x) > 0.15) })
}

// from has a series be v from a beat on.
func (b *Beats) from(at int, s series, v float64) {
	for j := at; j < len(s); j++ {
		s[j] = v
	}
}

// ended is where a change of tempo ends: at the next sign of tempo or the end of the section, at the
// latest after so many bars.
func (b *Beats) ended(signs []expr.Sign, at int, bars float64) int {
	end := min(at+int(bars*b.barBeats), b.Count)
	for i := range signs {
		switch signs[i].Kind {
		case expr.SectionBar, expr.Pace, expr.PaceWord, expr.PaceBack, expr.HurryOn:
			if j := b.at(signs[i].Beat); j > at {
				return min(end, j)
			}
		}
	}
	return end
}
