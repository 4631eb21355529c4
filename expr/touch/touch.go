// Package touch says how long a pianist's fingers hold the keys: the share of each note's written
// length for which it sounds by the finger, whatever the pedal does.
//
// [SharesOf] is the call, or [Shares] for a whole score. The log of the share is a sum of terms: how long the note is, what the
// hand must do next, whether the key is struck again, what is written over it; table.go
// has what each weighs, fitted to players. The same code makes the terms for fitting and for playing.
//
// Foreknowledge. Score: all of it. Without, habits go by the notes that they see coming.
//
// What it costs is linear in notes, at the time when a score is read.
package touch

import (
	"math"
	"slices"

	"swellbox/expr"
)

// Unknown stands for the share of a note of which nothing is known.
var Unknown = float32(math.NaN())

// The shares that a finger may hold a note for, and the least time. Ours: 99 % of players' are
// between.
const (
	leastShare = 0.08
	mostShare  = 1.6
)

// Shares are the shares of the notes of a score, by its notes; Unknown where there is none. They
// are a pianist's, whatever instrument a part is.
func Shares(s *expr.Score) []float32 {
	shares := NoShares(s)
	for part := range count(s) {
		SharesOf(s, part, shares)
	}
	return shares
}

// NoShares are the shares of the notes of a score of which nothing is known.
func NoShares(s *expr.Score) []float32 {
	shares := make([]float32, len(s.Notes))
	for i := range shares {
		shares[i] = Unknown
	}
	return shares
}

// SharesOf tells the shares of the notes of one part among those of the score.
func SharesOf(s *expr.Score, number int, shares []float32) {
	p := partOf(s, number)
	n := len(p.notes)
	if n < 2 {
		return
	}
	var weights, mean [len(table)]float64
	marked := slices.ContainsFunc(s.Notes, func(n expr.Written) bool { return n.Marks != 0 })
	for t := range table {
		weights[t] = table[t].notes
		if marked {
			weights[t] = table[t].scored
		}
	}
	r := &row{values: make([]float64, 0, len(table))}
	sums := make([]float64, n)
	for i := range p.notes {
		p.terms(i, r)
		for t, x := range r.values {
			mean[t] += x / float64(n)
			sums[i] += weights[t] * x
		}
	}
	base := usual
	for t, m := range mean {
		base -= weights[t] * m
	}
	for i, x := range sums {
		shares[p.index[i]] = float32(min(max(math.Exp(base+x), leastShare), mostShare))
	}
}

// usual is the log of the share that players hold on average, as a mean over 190 pieces (table.go).
const usual = -0.52

// Terms are the terms of the notes of a score, about their means in their parts, for those who fit:
// by term, then by note; NaN for a note that has none.
func Terms(s *expr.Score) (names []string, terms [][]float32) {
	r := &row{naming: true}
	for _, p := range parts(s) {
		if len(p.notes) < 2 {
			continue
		}
		var sums []float64
		for i := range p.notes {
			r.names = r.names[:0]
			p.terms(i, r)
			r.naming = false
			if terms == nil {
				names = slices.Clone(r.names)
				terms = make([][]float32, len(names))
				for t := range terms {
					terms[t] = slices.Repeat([]float32{Unknown}, len(s.Notes))
				}
			}
			if sums == nil {
				sums = make([]float64, len(names))
			}
			for t, x := range r.values {
				terms[t][p.index[i]] = float32(x)
				sums[t] += x
			}
		}
		for t := range terms {
			m := float32(sums[t] / float64(len(p.notes)))
			for _, i := range p.index {
				terms[t][i] -= m
			}
		}
	}
	return names, terms
}
