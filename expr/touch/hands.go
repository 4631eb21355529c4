package touch

import (
	"math"

	"swellbox/expr"
)

// handle finds which hand plays what, by the staves or else by a guess, and what each has to
// do next.
func (p *part) handle() {
	p.hands = make([]hand, len(p.notes))
	upper, lower := false, false
	for i := range p.notes {
		upper = upper || p.notes[i].Staff == 1
		lower = lower || p.notes[i].Staff > 1
	}
	if upper && lower {
		for i := range p.notes {
			p.hands[i].left = p.notes[i].Staff > 1
		}
	} else {
		p.guess()
	}
	for _, left := range []bool{false, true} {
		p.plan(left)
	}
}

// Where the hands are at the start, and how near each other they come. Ours, not published; they
// tell 89 % of the notes of 190 pieces rightly.
const (
	leftHome, rightHome = 48.0, 72.0
	handsApart          = 7.0
	follow              = 0.3 // share of the way that a hand goes to its latest notes
	widest              = 12.0
)

// guess gives each moment's notes to the hands so that each stays near where it is.
func (p *part) guess() {
	left, right := leftHome, rightHome
	for i := 0; i < len(p.notes); {
		e := i + int(p.size[i])
		best, cost := i, math.Inf(1)
		for s := i; s <= e; s++ { // the left hand has the notes up to s
			c := 0.0
			if s > i {
				c += math.Abs(p.mean(i, s)-left) + 4*max(p.span(i, s)-widest, 0)
			}
			if s < e {
				c += math.Abs(p.mean(s, e)-right) + 4*max(p.span(s, e)-widest, 0)
			}
			if s > i && s < e {
				c = c/2 - 0.3*min(float64(p.notes[s].Key)-float64(p.notes[s-1].Key), widest)
			}
			if c < cost {
				best, cost = s, c
			}
		}
		for k := i; k < best; k++ {
			p.hands[k].left = true
		}
		if best > i {
			left += follow * (p.mean(i, best) - left)
		}
		if best < e {
			right += follow * (p.mean(best, e) - right)
		}
		if right-left < handsApart {
			m := (left + right) / 2
			left, right = m-handsApart/2, m+handsApart/2
		}
		i = e
	}
}

func (p *part) mean(from, to int) float64 {
	sum := 0.0
	for _, n := range p.notes[from:to] {
		sum += float64(n.Key)
	}
	return sum / float64(to-from)
}

func (p *part) span(from, to int) float64 {
	return float64(p.notes[to-1].Key) - float64(p.notes[from].Key)
}

// plan finds what one hand has to do after each of its notes.
func (p *part) plan(left bool) {
	var of []int32
	for i := range p.hands {
		if p.hands[i].left == left {
			of = append(of, int32(i))
		}
	}
	p.paths(of)
	for a, i := range of {
		n, h := &p.notes[i], &p.hands[i]
		h.reach, h.leap, h.next = 1, 1, 4
		b := a + 1
		for b < len(of) && p.notes[of[b]].Beat <= n.Beat+1e-3 {
			b++
		}
		if b < len(of) {
			next := &p.notes[of[b]]
			h.next, h.step = next.Beat-n.Beat, float64(next.Key)-float64(n.Key)
		}
		for c := b; c < len(of) && c < a+mostUnder; c++ {
			m := &p.notes[of[c]]
			if m.Beat >= n.Beat+n.Length-1e-3 {
				break
			}
			share, far := (m.Beat-n.Beat)/n.Length, math.Abs(float64(m.Key)-float64(n.Key))
			if far > reachKeys {
				h.reach = min(h.reach, share)
			}
			if far > leapKeys {
				h.leap = min(h.leap, share)
			}
			h.under++
			if h.reach < 1 && h.leap < 1 {
				break
			}
		}
	}
}

// paths finds where one hand comes from and goes to, chord by chord of its notes.
func (p *part) paths(of []int32) {
	note := func(a int) *expr.Written { return &p.notes[of[a]] }
	for a := 0; a < len(of); {
		e := a
		for e < len(of) && note(e).Beat < note(a).Beat+1e-3 {
			e++
		}
		for k := a; k < e; k++ {
			n, h := note(k), &p.hands[of[k]]
			h.bottom, h.top, h.size = k == a, k == e-1, float64(e-a)
			if a > 0 {
				b := note(a - 1)
				h.since, h.came = n.Beat-b.Beat, float64(n.Key)-float64(b.Key)
				h.lastLength, h.lastDot = b.Length, b.Marks&dotted != 0
			}
			if e < len(of) {
				h.nextLength, h.nextDot = note(e).Length, note(e).Marks&dotted != 0
			}
			h.spread = p.spread(of[a:min(a+mostUnder, len(of))])
			h.slurs = p.slurred(of[max(a-fewNotes, 0):a], of[e:min(e+fewNotes, len(of))])
		}
		a = e
	}
}

const fewNotes = 5 // of a hand on each side of a chord, whose slurs count for it

// spread is how many semitones some notes take that begin within a second of the first.
func (p *part) spread(of []int32) float64 {
	first := p.notes[of[0]].Beat
	low, high := p.notes[of[0]].Key, p.notes[of[0]].Key
	for _, i := range of {
		n := &p.notes[i]
		if (n.Beat-first)*p.pace >= 1 {
			break
		}
		low, high = min(low, n.Key), max(high, n.Key)
	}
	return float64(high) - float64(low)
}

// slurred is the share of some notes that is slurred.
func (p *part) slurred(notes ...[]int32) float64 {
	some, all := 0.0, 0.0
	for _, of := range notes {
		for _, i := range of {
			some += flag(p.notes[i].Marks&(underSlur|expr.SlurEnds) != 0)
			all++
		}
	}
	return some / max(all, 1)
}
