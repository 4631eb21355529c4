package balance

import (
	"math"
	"slices"

	"swellbox/expr"
)

// noteAt is where notes of a part begin.
type noteAt struct {
	part string
	at   int64 // 24ths of a quarter note
}

// placeOf is the place of a note of the file in the score: where it begins, in a part of the same name.
func placeOf(part string, quarter float64) noteAt {
	return noteAt{part, int64(math.Round(quarter * 24))}
}

// solos are, by bar and part, who is marked solo for half of the notes that a part begins there or more; nil if the
// score marks nobody. Notes of the file are found in the score by [placeOf].
func (s *score) solos(piece *expr.Score) [][]bool {
	if piece == nil || !slices.ContainsFunc(piece.Notes, func(n expr.Written) bool { return n.Solo }) {
		return nil
	}
	marked := map[noteAt]bool{}
	for i := range piece.Notes {
		if n := &piece.Notes[i]; n.Solo && int(n.Part) < len(piece.Parts) {
			marked[placeOf(piece.Parts[n.Part], n.Beat)] = true
		}
	}
	all := make([][]bool, s.barCount())
	for bar := range all {
		all[bar] = make([]bool, len(s.parts))
	}
	for i := range s.parts {
		p := &s.parts[i]
		begun, solo := make([]int, len(all)), make([]int, len(all))
		for j := range p.notes {
			n := &p.notes[j]
			bar := lastBy(s.quarters, n.from+within)
			if bar < 0 || bar >= len(all) {
				continue
			}
			begun[bar]++
			if marked[placeOf(p.name, n.from)] {
				solo[bar]++
			}
		}
		for bar := range all {
			all[bar][i] = solo[bar] > 0 && 2*solo[bar] >= begun[bar]
		}
	}
	return all
}
