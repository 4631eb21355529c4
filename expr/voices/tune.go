package voices

import "math"

// Odds are the log odds of each part in a step that it has the tune, by weights of the terms.
func (p *Parts) odds(step int, weights, terms, to []float64) {
	p.drawn(step, weights, terms, to)
	for i := range to {
		if mine := p.in(sounds, i, max(step-window, 0), min(step+window+1, p.steps)); mine > 0 {
			to[i] += weightLoud * p.in(loudness, i, max(step-window, 0), min(step+window+1, p.steps)) / mine
		}
	}
}

// drawn are the log odds without what is written of loudness.
func (p *Parts) drawn(step int, weights, terms, to []float64) {
	p.Terms(step, terms)
	n := len(tuneTerms)
	for i := range to {
		to[i] = 0
		for k, x := range terms[i*n : (i+1)*n] {
			to[i] += weights[k] * x
		}
	}
}

// Drawing tells for each step and part how much its notes draw the ear, whatever their loudness, as log
// odds that it has the tune: steps × parts. Only what the parts of a step differ by means anything.
func (p *Parts) Drawing() []float64 {
	weights, terms := tuneWeights(), make([]float64, p.parts*len(tuneTerms))
	all := make([]float64, p.steps*p.parts)
	for step := range p.steps {
		p.drawn(step, weights, terms, all[step*p.parts:(step+1)*p.parts])
	}
	return all
}

func tuneWeights() []float64 {
	weights := make([]float64, len(tuneTerms))
	for k := range weights {
		weights[k] = tuneTable[k].weight
	}
	return weights
}

// weightLoud is what a written dB adds: what was fitted to has no dynamics. Ours.
const weightLoud = 0.1

// keeps is what it costs, in log odds, that the tune goes to another part: half a phrase's evidence. It is
// nothing where all have been silent, as at the end of a phrase. Chosen with the weights.
const keeps = 2

// Tune tells for each step which part has the tune, and for each part how far it is as much the
// tune as that one, 0..1: by the whole piece, so that a change is known when it comes. It is step by
// step: steps × parts.
func (p *Parts) Tune() (holder []int, salience []float32) {
	return p.tune(tuneWeights(), keeps)
}

// TuneBy tells the same by other weights, for who fits them.
func (p *Parts) TuneBy(weights []float64, keeps float64) []int {
	holder, _ := p.tune(weights, keeps)
	return holder
}

func (p *Parts) tune(weights []float64, keeps float64) (holder []int, salience []float32) {
	terms, odds := make([]float64, p.parts*len(tuneTerms)), make([]float64, p.parts)
	salience = make([]float32, p.steps*p.parts)
	best, before := make([]float64, p.parts), make([]int32, p.steps*p.parts)
	for step := range p.steps {
		p.odds(step, weights, terms, odds)
		lead, most, sum, silent := 0, math.Inf(-1), 0.0, true
		for i, o := range odds {
			most = max(most, o)
			silent = silent && p.in(sounds, i, step, step+1) == 0
			if best[i] > best[lead] {
				lead = i
			}
		}
		for _, o := range odds {
			sum += math.Exp(o - most)
		}
		cost, top := keeps, best[lead]
		if silent {
			cost = 0
		}
		for i, o := range odds {
			from, b := lead, top-cost
			if best[i] >= b {
				from, b = i, best[i]
			}
			before[step*p.parts+i] = int32(from)
			best[i] = b - top + o - most - math.Log(sum) // about the best, so that it stays small
			salience[step*p.parts+i] = float32(o)
		}
	}
	holder = make([]int, p.steps)
	last := 0
	for i := range best {
		if best[i] > best[last] {
			last = i
		}
	}
	for step := p.steps - 1; step >= 0; step-- {
		holder[step] = last
		of := salience[step*p.parts : (step+1)*p.parts]
		held := of[last]
		for i, o := range of {
			of[i] = float32(math.Exp(min(float64(o-held), 0)))
		}
		last = int(before[step*p.parts+last])
	}
	return holder, salience
}
