package nuance

import "math"

var barNames = []string{"is on the first beat", "is on a strong beat", "is on another beat"}

// barWeight is where in the bar the note stands.
func (v *view) barWeight(t *sink) {
	t.flag(v.n.metre == 3)
	t.flag(v.n.metre == 2)
	t.flag(v.n.metre == 1)
}

var endNames = []string{"rest before it", "rest after it", "nearness of the beginning", "nearness of the end", "place in the piece"}

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
	end, place := 0.0, 0.0
	if s.whole {
		end, place = fade(s.end-n.on, 12), (n.on-s.start)/max(s.end-s.start, 1)
	}
	t.add(end)
	t.add(place)
}

// fade is 1 at a distance of 0 and falls with it, by a time.
func fade(distance, by float64) float64 { return math.Exp(-max(distance, 0) / by) }
