package aligning_test

import (
	"slices"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/aligning"
)

// tune is a score of 48 quarter notes, from a beat on, from note first.
func tune(first, notes int, beat float64) *expr.Score {
	s := &expr.Score{Parts: []string{"Piano"}}
	for i := first; i < first+notes; i++ {
		b := beat + float64(i-first)
		on := time.Duration(b * float64(time.Second) / 2)
		s.Notes = append(s.Notes, expr.Written{On: on, Off: on + 400*time.Millisecond, Beat: b, Length: 1, Key: uint8(48 + (i*i*7+i*5)%31)})
	}
	return s
}

func TestSignsGoWithTheNotes(t *testing.T) {
	score := tune(0, 48, 0)
	score.Signs = []expr.Sign{{Beat: 10, Kind: expr.SlowDown}, {Beat: 20, Kind: expr.PaceBack}, {Beat: 40, Kind: expr.Pace, Value: 60}}
	at := func(b float64) time.Duration { return time.Duration(b * float64(time.Second) / 2) }
	for name, c := range map[string]struct {
		file *expr.Score
		want []float64
	}{
		"as written":        {tune(0, 48, 0), []float64{10, 20, 40}},
		"after two bars":    {tune(0, 48, 8), []float64{18, 28, 48}},
		"from its middle":   {tune(16, 32, 0), []float64{4, 24}},
		"to its middle":     {tune(0, 32, 0), []float64{10, 20}},
		"of no known music": {tune(100, 0, 0), nil},
	} {
		aligning.Know(c.file, score, at)
		var got []float64
		for _, s := range c.file.Signs {
			got = append(got, s.Beat)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: signs at %v, want %v", name, got, c.want)
		}
	}
}
