package balance

import "math"

// How far the tune is behind. All of it is ours, chosen on the movements of testdata/evidence/lines.md:
// a line that is fewer dB over what all others mask is not followed without looking for it; each dB
// by which another line is marked louder makes it worse, unless it stands out all the same.
const (
	followedDB  = 3.0
	perMarkedDB = 0.2
	clearDB     = 9.0
)

// lead fills in how likely each line has the tune, by what the notes of its parts draw, whatever their loudness:
// the shares of the odds. Where somebody is marked solo the score says who has it, and nobody else is asked.
func (b heardBar) lead() {
	lines, solos := b.lines(), 0
	b.draw(lines)
	marked := make([]bool, len(b)) // by the first part of a line
	for i, first := range lines {
		if b[i].solo && !marked[first] {
			marked[first] = true
			solos++
		}
	}
	for i, first := range lines {
		switch {
		case solos == 0:
		case marked[first]:
			b[i].leads = 1 / float64(solos)
		default:
			b[i].leads = 0
		}
	}
}

// draw fills in the shares of the odds.
func (b heardBar) draw(lines []int) {
	most := math.Inf(-1)
	draws := make([]float64, len(b)) // by the first part of a line
	for i, first := range lines {
		if i == first || b[i].draws > draws[first] {
			draws[first] = b[i].draws
		}
		most = max(most, b[i].draws)
	}
	sum := 0.0
	for i, first := range lines {
		if i == first {
			sum += math.Exp(draws[i] - most)
		}
	}
	for i, first := range lines {
		b[i].behind = most - b[i].draws
		b[i].leads = math.Exp(draws[first]-most) / sum
	}
}

// lines are for each part the number of the first that plays the same line.
func (b heardBar) lines() []int {
	first := make([]int, len(b))
	for i := range b {
		for b[first[i]].line != b[i].line {
			first[i]++
		}
	}
	return first
}

// tuneBehind is how far the tune is behind in a bar, dB: of each part, by how much its line is behind, as far as that has the
// tune; and of all lines together. Whoever has the tune by the notes should be in front by what is heard.
// Nothing is behind where there is one line.
func (b heardBar) tuneBehind(in place, parts []float64) (all float64) {
	clear(parts)
	lines := b.lines()
	marked := make([]float64, len(b)) // by the first part of a line: the loudest mark in it
	for i, first := range lines {
		if i == first || b[i].dynamicDB > marked[first] {
			marked[first] = b[i].dynamicDB
		}
	}
	for i, first := range lines {
		if i != first {
			parts[i] = parts[first]
			continue
		}
		louder, others := 0.0, 0
		for j, other := range lines {
			if j == other && j != i {
				others++
				louder = max(louder, marked[j]-marked[i])
			}
		}
		if others == 0 {
			return 0
		}
		line := b[i].heard[in].lineDB
		by := max(followedDB-line, 0)
		if line < clearDB {
			by += perMarkedDB * louder
		}
		parts[i] = b[i].leads * by
		all += parts[i]
	}
	return all
}
