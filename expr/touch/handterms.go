package touch

import "math"

// handTerms are of the hand: what it must leave for what comes next.
func (p *part) handTerms(i int, r *row, logs float64) {
	h := &p.hands[i]
	r.add("hand: log of the share until it is out of reach", math.Log(max(h.reach, 0.02)))
	r.is("hand: it is out of reach before its end", h.reach < 1)
	r.add("hand: log of the share until it is a leap away", math.Log(max(h.leap, 0.02)))
	r.is("hand: it is a leap away before its end", h.leap < 1)
	r.add("hand: log of the notes under it", math.Log1p(h.under))
	r.is("hand: notes under it", h.under > 0)
	x := h.until(&p.notes[i])
	joins := math.Abs(x) < atOnce
	r.add("hand: plays on before its end, log", min(x, 0))
	r.add("hand: plays on after its end, log", max(x, 0))
	r.is("hand: rests after it", x > atOnce)
	r.add("hand: log of the time to its next note", math.Log(h.next*p.pace+0.02))
	r.is("hand: goes on at its end", joins)
	r.add("hand: how far it goes on", math.Abs(h.step)*flag(joins)/12)
	r.is("hand: goes on by step", joins && math.Abs(h.step) <= 2 && h.step != 0)
	r.add("hand: goes up", h.step*flag(joins)/12)
	r.is("hand: left", h.left)
	r.add("hand: length until out of reach", math.Log(max(h.reach, 0.02))*logs)
	r.add("hand: length where it plays on before its end", min(x, 0)*logs)
	r.add("hand: length where it rests after", flag(x > atOnce)*logs)
	r.add("hand: length where it goes on", flag(joins)*logs)
	r.add("hand: length over others", flag(h.under > 0)*logs)
}

// placeTerms are of where the note lies in its hand.
func (p *part) placeTerms(i int, r *row, logs float64) {
	h := &p.hands[i]
	left, top, bottom, size := flag(h.left), flag(h.top), flag(h.bottom), math.Log(h.size)
	r.add("hand: top", top)
	r.is("hand: inner", !h.top && !h.bottom)
	r.add("hand: the left's top", top*left)
	r.add("hand: the left's bottom", bottom*left)
	r.add("hand: length of its top", top*logs)
	r.add("hand: length of its bottom", bottom*logs)
	r.add("hand: log of its chord", size)
	r.add("hand: length in its chord", size*logs)
	x := h.until(&p.notes[i])
	r.add("hand: rests after its chord", size*flag(x > atOnce))
	r.add("hand: the left plays on before its end", left*min(x, 0))
}

// pathTerms are of the way that the hand goes: from where it comes, and to where.
func (p *part) pathTerms(i int, r *row, logs float64) {
	n, h := &p.notes[i], &p.hands[i]
	joins := math.Abs(h.until(n)) < atOnce
	far := math.Abs(h.step)
	r.is("hand: comes by a leap", math.Abs(h.came) > leapOver)
	r.is("hand: turns", joins && h.came*h.step < 0)
	r.is("hand: goes on as it came", joins && h.came*h.step > 0)
	r.add("hand: log of the time since its last note re the length", math.Log(min(max(h.since/n.Length, 0.05), 8)))
	r.is("hand: goes on by a leap", joins && far > leapOver)
	r.is("hand: goes on by more than an octave", joins && far > 12)
	r.add("hand: range of its next second", h.spread/12)
	r.add("hand: length by the range of its next second", h.spread/12*logs)
	r.add("hand: share around that rests after", p.around[i].rest)
	r.add("hand: length by the share around that rests after", p.around[i].rest*logs)
	r.is("hand: goes on with a longer note", joins && h.nextLength > longer*n.Length)
	r.is("hand: goes on with a shorter note", joins && h.nextLength < n.Length/longer)
	r.is("hand: comes from a longer note", h.lastLength > longer*n.Length)
	r.is("hand: comes from a shorter note", h.lastLength > 0 && h.lastLength < n.Length/longer)
}

const (
	atOnce   = 0.05 // log of times: by less than that, the hand goes on at the end of its note
	leapOver = 7    // semitones: what is wider than a fifth is a leap here
	longer   = 1.4  // times a length: well short of a dotted note's
)
