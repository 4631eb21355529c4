package aligning

import (
	"cmp"
	"slices"

	"swellbox/expr"
)

// signsAs are the score's signs where the file plays them: each stretch of the file that goes on
// with the score as it is written brings the signs that stand in it, with those at its two ends.
func signsAs(file, score *expr.Score, of []int) (signs []expr.Sign) {
	if len(score.Signs) == 0 {
		return nil
	}
	start, last, shift := None, None, 0.0 // notes of the score, and how much later the file has them
	flush := func() {
		if start == None {
			return
		}
		from, to := score.Notes[start].Beat-sameBar/2, score.Notes[last].Beat+score.Notes[last].Length+expr.BeforeBar
		i, _ := slices.BinarySearchFunc(score.Signs, from, func(s expr.Sign, at float64) int { return cmp.Compare(s.Beat, at) })
		for ; i < len(score.Signs) && score.Signs[i].Beat <= to; i++ {
			s := score.Signs[i]
			s.Beat = max(s.Beat+shift, 0)
			if n := len(signs); n == 0 || !slices.Contains(signs[max(n-8, 0):], s) {
				signs = append(signs, s)
			}
		}
	}
	for i, j := range of {
		if j == None {
			continue
		}
		d := file.Notes[i].Beat - score.Notes[j].Beat
		if start == None || d-shift > sameBar || shift-d > sameBar {
			flush()
			start, shift = j, d
		}
		last = j
		if score.Notes[j].Beat < score.Notes[start].Beat {
			start = j
		}
	}
	flush()
	slices.SortStableFunc(signs, func(a, b expr.Sign) int { return cmp.Or(cmp.Compare(a.Beat, b.Beat), cmp.Compare(a.Kind, b.Kind)) })
	return signs
}
