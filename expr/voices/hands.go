package voices

import "math"

// hands follows where the two hands are: running means of the keys that each plays.
type hands struct {
	before, now [2]place // as of the last settled moment, and with the latest
}

type place struct {
	mean  float64
	notes int
}

// Where the hands are taken to be at first: an octave to either side of middle C, the
// usual division of the keyboard (common practice, no published source).
var handsAtRest = [2]place{Left: {mean: 48}, Right: {mean: 72}}

// What speaks against dividing a moment's notes between the hands at a point, in
// semitones. Ours, not published; a hand's span of a ninth is common practice.
const (
	handSpan    = 14  // semitones from lowest to highest
	costSpan    = 4.0 // per semitone beyond it
	costAway    = 0.5 // per semitone and note from where the hand is
	costChange  = 3.0 // for each voice that changes hands
	costThrough = 1.5 // per semitone by which the hands cross where one holds a note
	gainGap     = 0.5 // per semitone between the hands
	widestGap   = 12
)

func (h *hands) reset() { h.before, h.now = handsAtRest, handsAtRest }

func (h *hands) keep() { h.before = h.now }

// divide gives the notes of the latest moment, which rise in pitch, to the hands: those
// below some point to the left.
func (h *hands) divide(s *Separator) {
	best, least := 0, math.Inf(1)
	for i := 0; i <= len(s.moment); i++ {
		if c := h.cost(s, i); c < least {
			best, least = i, c
		}
	}
	h.now = h.before
	for i := range s.moment {
		n := &s.moment[i]
		n.hand = Right
		if i < best {
			n.hand = Left
		}
		s.now[n.voice].hand = n.hand
		p := &h.now[n.hand]
		p.notes++
		toward(&p.mean, float64(n.key), p.notes+memory/2)
	}
}

// cost is what speaks against the left hand's playing just the first so many notes.
func (h *hands) cost(s *Separator, lefts int) (cost float64) {
	low, high := [2]int{math.MaxInt, math.MaxInt}, [2]int{math.MinInt, math.MinInt}
	reach := func(hand Hand, key int) {
		low[hand], high[hand] = min(low[hand], key), max(high[hand], key)
	}
	for i := range s.held {
		if s.held[i].sounds() {
			reach(s.held[i].hand, s.held[i].key)
		}
	}
	for i := range s.moment {
		n := &s.moment[i]
		hand := Right
		if i < lefts {
			hand = Left
		}
		reach(hand, n.key)
		cost += costAway * math.Abs(float64(n.key)-h.before[hand].mean)
		if v := &s.before[n.voice]; v.alive() && s.now[n.voice].notes > 1 && v.hand != hand {
			cost += costChange
		}
	}
	for hand := range low {
		if low[hand] <= high[hand] {
			cost += costSpan * float64(max(high[hand]-low[hand]-handSpan, 0))
		}
	}
	if low[Right] <= high[Right] && low[Left] <= high[Left] {
		gap := low[Right] - high[Left]
		if gap < 0 {
			return cost - costThrough*float64(gap)
		}
		cost -= gainGap * float64(min(gap, widestGap))
	}
	return cost
}
