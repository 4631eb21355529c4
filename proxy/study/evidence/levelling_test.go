package evidence

import (
	"math"
	"testing"
	"time"

	"swellbox/proxy/perform"
)

// levelling is what the habits do to the level, by the velocities that reach a piano.
func levelling(t *testing.T) []finding {
	depth, fit := levelArch(t)
	return []finding{
		{
			what: "rise and fall at amount 1", unit: "dB an octave", digits: 1, low: 2.7, high: 3.3, got: one(riseAndFall(t, 1)),
			published: "3 dB an octave", source: "Friberg 1991 (from memory)", want: below,
			why: "In place of middle C stands the running mean of the line, so that no part is lifted over another; the note that is measured has moved it by an eighth of the way.",
		},
		{
			what: "the same at the piano profile's amount, ½", unit: "dB an octave", digits: 1, low: 1.2, high: 1.8, got: one(riseAndFall(t, 0.5)),
			published: "half of that", source: "as above", want: within,
		},
		{
			what: "phrase, from its top to its last note", unit: "dB", digits: 1, low: 2.0, high: 4.5, got: depth,
			published: "soft, loud, soft; no figure found", source: "Friberg and Battel 2002; the amount is ours", want: within,
		},
		{
			what: "share of it that the square of Todd's tempo explains", digits: 2, low: 0.9, high: 1, got: fit,
			published: "intensity goes with the square of the tempo", source: "Todd 1992 (exponent from memory)", want: within,
		},
		{
			what: "melody over the other notes of piano chords, mp", unit: "steps of velocity", low: 10, high: 20, got: emphasis(t),
			source: "from memory, not sure", want: above,
			why: "Fitted to 439 performances, where the mean is 13 steps over all chords; this tune lies far above three low notes, and is a plain one.",
		},
	}
}

// velocityDB is the level of a velocity at a piano: 40·log10, General MIDI 2 and DLS
// guideline, from memory.
func velocityDB(v uint8) float64 { return 40 * math.Log10(float64(v)/127) }

// riseAndFall is the slope of level over pitch where single notes leave a long line on one pitch.
func riseAndFall(t *testing.T, k float64) float64 {
	t.Helper()
	s := newStudy(t, "piano")
	s.profiles[0].Amounts.Set("rise_and_fall", k)
	at := time.Duration(0)
	add := func(key int) {
		s.note(0, at, studyBar/4-20*time.Millisecond, key, 0)
		at += studyBar / 4
	}
	for _, key := range []int{48, 52, 56, 58, 62, 64, 68, 72} {
		for range 40 {
			add(60)
		}
		add(key)
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Only: []string{"marks", "rise-and-fall"}}})
	var octaves, db []float64
	for i := range all {
		if i%41 >= 39 { // the last of the line, and the note that leaves it
			octaves = append(octaves, float64(all[i].Key)/12)
			db = append(db, velocityDB(all[i].velocity))
		}
	}
	return slope(octaves, db)
}

// levelArch is how far the level falls to the end of phrases, and how well Todd's arch
// explains it.
func levelArch(t *testing.T) (depth, fit [2]float64) {
	t.Helper()
	const notes = 15
	s := newStudy(t, "piano")
	s.profiles[0].Amounts.Set("phrase", 1) // which pianists have none of, but others
	for i := range 4 * 16 {
		if i%16 < notes {
			s.note(0, time.Duration(i)*studyBar/4, studyBar/4-20*time.Millisecond, 60+2*(i%2), 0)
		}
	}
	all, _ := s.perform(t, manner{Manner: perform.Manner{Only: []string{"marks", "phrase"}}})
	var depths, fits []float64
	for phrase := range 4 {
		var tempo, db []float64
		top := math.Inf(-1)
		for i := range notes {
			level := velocityDB(all[phrase*notes+i].velocity)
			place := float64(i)/(notes-1) - 0.5
			tempo = append(tempo, -20*math.Log10(1+4*0.4*place*place)) // m = 0.4, of the greatest depth
			db = append(db, level)
			top = max(top, level)
		}
		depths = append(depths, top-db[notes-1])
		fits = append(fits, explained(tempo, db))
	}
	return both(depths...), both(fits...)
}

// emphasis is by how many steps of velocity the melody lies over the mean of the others.
func emphasis(t *testing.T) [2]float64 {
	t.Helper()
	var each []float64
	for _, c := range chords(t, true, 64) {
		v := func(i int) float64 { return float64(c[i].velocity) }
		each = append(each, v(3)-(v(0)+v(1)+v(2))/3)
	}
	return one(mean(each))
}
