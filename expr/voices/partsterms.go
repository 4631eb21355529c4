package voices

import "math"

// tuneTerms are the reasons to take a part for the one that has the tune, in the order of the table.
var tuneTerms = [...]string{
	"height: octaves over the mean of all",
	"height: share of the time as the highest",
	"height: share of the time as the lowest",
	"presence: share of the time that it sounds",
	"presence: it sounds in this quarter",
	"presence: it begins a note in this quarter",
	"density: onsets, re the busiest",
	"movement: onsets on other keys, re the most",
	"movement: share of its onsets by a step",
	"novelty: keys not among the last eight, re the most",
	"novelty: share of figures that go round",
	"length: of its notes, doublings",
	"onsets: share that it has to itself",
	"entrance: came in after a rest lately",
	"doubled: parts that go with it",
	"solo: quarters in which few others sound",
	"seat: the first of several alike",
	"kind: it sings",
	"kind: brass or drums",
	"kind: viola, bass, bassoon",
}

// TuneTerms are the names of the terms of [Parts.Terms].
func TuneTerms() []string { return tuneTerms[:] }

// weight is what a term adds to the log odds, and its standard error.
type weight struct{ weight, se float64 }

// Size is how many parts and steps there are.
func (p *Parts) Size() (parts, steps int) { return p.parts, p.steps }

// Step is the step in which a place stands, in quarter notes since the piece's start.
func (p *Parts) Step(quarter float64) int {
	return min(max(int(math.Floor(quarter-p.from+1e-6)), 0), p.steps-1)
}

// Terms fills in the terms of all parts in a step: part by part, in the order of [TuneTerms].
func (p *Parts) Terms(step int, to []float64) {
	from, until := max(step-window, 0), min(step+window+1, p.steps)
	span := float64(until - from)
	var height, sound, mostOnsets, mostMoves, mostNews, active float64
	for i := range p.parts {
		height += p.in(heights, i, from, until)
		sound += p.in(sounds, i, from, until)
		mostOnsets = max(mostOnsets, p.in(onsets, i, from, until))
		mostMoves = max(mostMoves, p.in(moves, i, from, until))
		mostNews = max(mostNews, p.in(news, i, from, until))
		active += truth(p.in(sounds, i, step, step+1) > 0)
	}
	middle := height / max(sound, 1e-9)
	n := len(tuneTerms)
	for i := range p.parts {
		t := to[i*n : (i+1)*n]
		clear(t)
		mine, on := p.in(sounds, i, from, until), p.in(onsets, i, from, until)
		if mine > 0 {
			t[0] = (p.in(heights, i, from, until)/mine - middle) / 12
			t[14] = math.Log1p(p.in(alike, i, from, until) / mine)
		}
		t[1], t[2] = p.in(tops, i, from, until)/span, p.in(bottoms, i, from, until)/span
		t[3] = mine / span
		t[4] = truth(p.in(sounds, i, step, step+1) > 0)
		t[5] = truth(p.in(onsets, i, step, step+1) > 0)
		t[6] = math.Log1p(on) - math.Log1p(mostOnsets)
		t[7] = math.Log1p(p.in(moves, i, from, until)) - math.Log1p(mostMoves)
		t[9] = math.Log1p(p.in(news, i, from, until)) - math.Log1p(mostNews)
		if on > 0 {
			t[8] = p.in(stepped, i, from, until) / on
			t[10] = p.in(figured, i, from, until) / on
			t[11] = p.in(lengths, i, from, until) / on
			t[12] = p.in(lone, i, from, until) / on
		}
		t[13] = p.in(entering, i, from, until) / span
		t[15] = t[4] / max(active, 1)
		k := &p.kinds[i]
		t[16], t[17], t[18], t[19] = truth(k.Leads), truth(k.Sings)*t[3], truth(k.Brass), truth(k.Middle)
	}
}

// Begin is where a step begins, in quarter notes since the piece's start.
func (p *Parts) Begin(step int) float64 { return p.from + float64(step) }
