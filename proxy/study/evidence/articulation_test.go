package evidence

import (
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/proxy/perform"
)

// articulation is how long notes sound.
func articulation(t *testing.T) []finding {
	found := []finding{
		{
			what: "staccato, share of the time to the next note, flute and piano", unit: "%", low: 37, high: 43,
			got:       both(sounding(t, "flute", expr.Staccato, 2), sounding(t, "piano", expr.Staccato, 2)),
			published: "about 40 %", source: "Bresin and Battel 2000", want: reach,
			why: "The share of the piano is fitted to pianists, that of the flute is the published one.",
		},
		{
			what: "repeated notes, the same, piano", unit: "%", low: 57, high: 63,
			got: one(sounding(t, "piano", 0, 0)), published: "about 60 %", source: "Bresin and Battel 2000", want: within,
		},
		{
			what: "the same, flute and violin", unit: "%", low: 57, high: 63,
			got: both(sounding(t, "flute", 0, 0), sounding(t, "violin", 0, 0)), published: "about 60 %", source: "Bresin and Battel 2000",
			want: above, why: "The figure is a pianist's, whose finger has to leave the key. A tongue or a bow stops the tone for no longer than it takes, 60 ms here (ours).",
		},
	}
	for _, k := range []struct {
		ioi  time.Duration
		want float64
		name string
	}{{125, 20, "125"}, {250, 36, "250"}, {500, 59, "500"}, {1000, 62, "1000"}} {
		found = append(found, finding{
			what: "legato overlap, piano, " + k.name + " ms from onset to onset", unit: "ms", low: k.want - 2, high: k.want + 2,
			got: one(overlap(t, k.ioi*time.Millisecond)), published: "", source: "Bresin 2001, K = 1 (from memory)", want: below,
			why: "Lengths of keys are fitted to pianists note by note, who leave much of the joining to the pedal; the published overlap is of legato without it.",
		})
	}
	return found
}

// sounding is for how many percent of the time to the next note the notes of a line sound,
// in the mean. step is the interval between two of them.
func sounding(t *testing.T, name string, marks expr.Marks, step int) float64 {
	t.Helper()
	s := newStudy(t, name)
	for i := range 65 {
		s.note(0, time.Duration(i)*studyBar/4, studyBar/4, 60+step*(i%2), marks)
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Lookahead: ahead, Seed: 1}})
	var share []float64
	for i := range 64 {
		share = append(share, 100*float64(all[i].off-all[i].on)/float64(all[i+1].on-all[i].on))
	}
	return mean(share)
}

// overlap is by how many ms slurred notes end after the next has begun, in the mean.
func overlap(t *testing.T, ioi time.Duration) float64 {
	t.Helper()
	s := newStudy(t, "piano")
	for i := range 129 {
		marks := expr.SlurGoesOn
		if i == 0 {
			marks = expr.SlurBegins
		}
		s.note(0, time.Duration(i)*ioi, ioi, 60+2*(i%2), marks)
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Lookahead: ahead, Seed: 1}})
	var laps []float64
	for i := range 128 {
		laps = append(laps, ms(all[i].off-all[i+1].on))
	}
	return mean(laps)
}
