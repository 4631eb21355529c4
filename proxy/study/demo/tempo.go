package demo

import (
	"time"
)

// Tempo is that of the ensemble in percent of the written one, for each half of a bar, by
// how late the notes of all parts about its ends are in the mean. Where nobody starts a
// note, the tempo is that of the stretch to where somebody does.
func Tempo(parts []PartView, bars []time.Duration, end time.Duration) []Sample {
	var marks []Sample // half bars, and how late the ensemble is there, ms
	for i, from := range bars {
		to := end
		if i+1 < len(bars) {
			to = bars[i+1]
		}
		half := (to - from) / 2
		for _, at := range []time.Duration{from, from + half} {
			if late, ok := lateAbout(parts, at, half/4); ok {
				marks = append(marks, Sample{at, late})
			}
		}
	}
	var tempo []Sample
	for i := 1; i < len(marks); i++ {
		a, b := marks[i-1], marks[i]
		written := milliseconds(b.At - a.At)
		tempo = append(tempo, Sample{a.At, 100 * written / (written + b.Value - a.Value)})
	}
	return tempo
}

// lateAbout is how late all notes are, in the mean, that are written within reach of a time.
func lateAbout(parts []PartView, at, reach time.Duration) (ms float64, ok bool) {
	sum, n := 0.0, 0
	for i := range parts {
		for _, l := range parts[i].Late {
			if l.At >= at-reach && l.At <= at+reach {
				sum += l.Value
				n++
			}
		}
	}
	return sum / float64(max(n, 1)), n > 0
}
