package offline

import (
	"fmt"
	"time"

	"swellbox/expr"
	"swellbox/expr/aligning"
	"swellbox/proxy/perform"
)

// Known is the score of the timeline's notes with what piece, the written score of the same
// music, says of them: marks, staves, bars as printed. A nil piece says nothing. The warning
// tells where the two differ, or is empty.
func (t *Timeline) Known(piece *expr.Score) (score *expr.Score, warning string) {
	score = t.Score()
	if piece == nil || len(score.Notes) == 0 {
		return score, ""
	}
	found := aligning.Know(score, piece, func(beat float64) time.Duration {
		if t.perQuarter == 0 {
			return time.Duration(beat * float64(time.Second) / 2)
		}
		return t.Tempo.At(int64(beat*float64(t.perQuarter) + 0.5))
	})
	switch n := len(score.Notes); {
	case 2*found < n:
		return score, fmt.Sprintf("the score has only %d of the file's %d notes, so it is not used: is it the same piece?", found, n)
	case 10*found < 9*n:
		return score, fmt.Sprintf("the score has %d of the file's %d notes; the others are played as the file alone has them", found, n)
	}
	return score, ""
}

// ScoreFor is the timeline's score as a manner knows it. What fails in it is said in the warnings, and is
// not known: what the written score adds, or the score as a whole.
func (t *Timeline) ScoreFor(m *perform.Manner) (score *expr.Score, warnings []string) {
	reason := perform.Caught(func() {
		m.Trial.Of(expr.OfScore)
		var warning string
		if score, warning = t.Known(m.Piece); warning != "" {
			warnings = append(warnings, warning)
		}
	})
	if reason == nil {
		return score, warnings
	}
	score, warnings = nil, append(warnings, expr.OfScore.Loss(reason).Error())
	if m.Piece != nil {
		_ = perform.Caught(func() { score = t.Score() })
	}
	return score, warnings
}
