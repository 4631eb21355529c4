package evidence

import (
	"math"
	"testing"
	"time"

	"swellbox/proxy/perform"
)

// phrasing is what the ensemble does with its time over phrases and at the end.
func phrasing(t *testing.T) []finding {
	arch, drift := tempoArch(t)
	v, whole := ritard(t)
	return []finding{
		{
			what: "share of a phrase's changes of tempo that one parabola explains", digits: 2, low: 0.9, high: 1, got: arch,
			published: "parabolic, one degree of freedom", source: "Repp 1992; Todd 1985 (secondary)", want: below,
			why: "Tempo is fitted to pianists beat by beat (make fit), whose phrases are no single arches: chords, long notes and ends of sections weigh more than the phrase.",
		},
		{
			what: "where the ensemble is at a phrase's end, re its written time", unit: "ms", digits: 1, low: -1, high: 1, got: drift,
			published: "what is borrowed is paid back", source: "ours", want: above,
			why: "In a file the whole length of the piece is kept, and no longer that of each phrase; live the beat is paid back.",
		},
		{
			what: "phrase end, score not known: last note longer by", unit: "ms", low: 39, high: 41, got: phraseEnd(t),
			published: "40 ms", source: "Friberg 1991 (from memory, not sure)", want: within,
		},
		{
			what: "final ritard, tempo at ¼ of it", digits: 2, low: 0.881, high: 0.921, got: one(v[0]),
			published: "0.90", source: "Friberg and Sundberg 1999, q = 2, w = ½ (secondary)", want: within,
		},
		{
			what: "at ½", digits: 2, low: 0.771, high: 0.811, got: one(v[1]),
			published: "0.79", source: "as above", want: within,
		},
		{
			what: "at ¾", digits: 2, low: 0.641, high: 0.681, got: one(v[2]),
			published: "0.66", source: "as above", want: within,
		},
		{
			what: "time that it takes, re none", digits: 2, low: 1.31, high: 1.35, got: one(whole),
			published: "1.33", source: "as above, derived", want: within,
		},
	}
}

// tempoArch plays four phrases of eight seconds with rubato alone: how well a parabola
// about the middle explains the times between onsets, and how far from its written time
// each phrase ends.
func tempoArch(t *testing.T) (fit, drift [2]float64) {
	t.Helper()
	const notes = 15 // of half a second, then half a second's rest
	s := newStudy(t, "violin")
	for i := range 4 * 16 {
		if i%16 < notes {
			s.note(0, time.Duration(i)*studyBar/4, studyBar/4, 60+2*(i%2), 0)
		}
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Lookahead: ahead, Rubato: 1, Only: []string{"rubato"}}})
	var fits, ends []float64
	for phrase := range 3 { // in the last comes the ritard
		var off, length []float64
		first := &all[phrase*notes]
		for i := phrase * notes; i < (phrase+1)*notes; i++ {
			gap := all[i+1].On - all[i].On // the last note's with the rest
			middle := (all[i].On+gap/2-first.On).Seconds()/8 - 0.5
			off = append(off, middle*middle)
			length = append(length, float64(all[i+1].on-all[i].on)/float64(gap))
		}
		fits = append(fits, explained(off, length))
		ends = append(ends, all[(phrase+1)*notes].late())
	}
	return both(fits...), both(ends...)
}

// phraseEnd is by how much the time to the next phrase's first note is longer than written
// where players see two seconds ahead and do not know the score.
func phraseEnd(t *testing.T) [2]float64 {
	t.Helper()
	s := newStudy(t, "violin")
	at := time.Duration(0)
	var starts []int
	for i := range 6 * 8 {
		if i%8 == 0 {
			starts = append(starts, i)
		}
		gap := studyBar / 4
		if i%8 == 7 {
			gap *= 3
		}
		s.note(0, at, studyBar/4-20*time.Millisecond, 60+2*(i%2), 0)
		at += gap
	}
	all, _ := s.perform(t, manner{unread: true, Manner: perform.Manner{Lookahead: 2 * time.Second, Rubato: 1, Only: []string{"rubato"}}})
	var longer []float64
	for _, i := range starts[1:] {
		longer = append(longer, all[i].late()-all[i-1].late())
	}
	return both(longer...)
}

// ritard plays two minutes without any phrase: the tempo at the quarters of its last four
// seconds, and their length, re those written.
func ritard(t *testing.T) (v [3]float64, whole float64) {
	t.Helper()
	const step = 50 * time.Millisecond
	const stretch = 4 * time.Second
	s := newStudy(t, "piano")
	const notes = int(2*time.Minute/step) + 1
	for i := range notes {
		s.note(0, time.Duration(i)*step, step-time.Millisecond, 60+2*(i%2), 0)
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Lookahead: 3 * time.Second, Rubato: 1, Only: []string{"rubato"}}})
	begin := notes - 1 - int(stretch/step)
	for i := range v {
		a, b := &all[begin+(i+1)*int(stretch/step)/4-1], &all[begin+(i+1)*int(stretch/step)/4+1]
		v[i] = float64(b.On-a.On) / float64(b.on-a.on)
	}
	whole = float64(all[notes-1].on-all[begin].on) / float64(stretch)
	return v, math.Round(whole*1e6) / 1e6
}
