package main

import (
	"math"
	"testing"

	"swellbox/proxy/study/audition"
	"swellbox/proxy/study/loudness"
)

// tone is a take of three seconds of a sine, with a click of its own height in its middle.
func tone(hz, amplitude, click float64) *audition.Take {
	t := &audition.Take{Left: make([]float32, 3*audition.SampleRate), Right: make([]float32, 3*audition.SampleRate)}
	for i := range t.Left {
		t.Left[i] = float32(amplitude * math.Sin(2*math.Pi*hz*float64(i)/audition.SampleRate))
		t.Right[i] = t.Left[i]
	}
	t.Left[len(t.Left)/2] = float32(click)
	return t
}

// Takes are written within 0.1 LU of each other, by their loudness and not by their peaks, and none
// clips.
func TestMatchedGains(t *testing.T) {
	takes := []*audition.Take{tone(440, 0.5, 0.5), tone(440, 0.1, 0.9), tone(4000, 0.2, 0.2)}
	gains, err := audition.MatchedGains(takes...)
	if err != nil {
		t.Fatal(err)
	}
	var loud []float64
	for i, take := range takes {
		if gains[i] > audition.CommonGain(take)*(1+1e-9) {
			t.Errorf("take %d: a gain of %g clips", i, gains[i])
		}
		for j := range take.Left {
			take.Left[j] *= float32(gains[i])
			take.Right[j] *= float32(gains[i])
		}
		m, err := loudness.Measure(take.Left, take.Right, audition.SampleRate)
		if err != nil {
			t.Fatal(err)
		}
		loud = append(loud, m.Integrated)
	}
	for i := range loud {
		if math.Abs(loud[i]-loud[0]) > 0.1 {
			t.Errorf("loudness %v LKFS", loud)
		}
	}
	if gains, err = audition.MatchedGains(takes[0], tone(440, 0, 0)); err != nil || gains[0] != gains[1] {
		t.Errorf("beside silence the gains are %v (%v)", gains, err)
	}
}
