package nuance

import "math"

var barNames = []string{"is on the first beat", "is on a strong beat", "is on another beat"}

// barWeight is where in the bar the note stands.
func (v *view) barWeight(t *sink) {
	t.flag(v.n.metre == 3)
	t.flag(v.n.metre == 2)
	t.flag(v.n.metre == 1)
}

var endNames = []string{"rest before it", "rest after it", "nearness of the beginning", "nearness of the end", "time since the beginning"}

// endings is how near the note is to where the music stops.
func (v *view) endings(t *sink) {
	s, n := v.s, v.n
	after := 0.0
	if s.whole && v.mi+1 < len(v.moments) {
		after = v.moments[v.mi+1].rest
	}
	t.add(v.m.rest)
	t.add(after)
	t.add(fade(n.on-s.start, 4))
	end := 0.0
	if s.whole {
		end = fade(s.end-n.on, 12)
	}
	t.add(end)
	const long = 80 // s, after which a beginning is past
	t.add(math.Log2(1 + clip(n.on-s.start, 0, long)))
}
