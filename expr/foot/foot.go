// Package foot says what a pianist's foot does with the notes of a score, as pianists were measured to do
// it. Package pedalling has the terms and the table; here a score is made moments of, and the advice that
// comes of them is told by notes.
package foot

import (
	"cmp"
	"math"
	"slices"

	"swellbox/expr"
	"swellbox/expr/pedalling"
)

// Advise tells what pianists would do about each note of one part, among those of the score.
func Advise(s *expr.Score, part int, all []pedalling.Advice) {
	of := notesOf(s, func(n *expr.Written) bool { return int(n.Part) == part })
	if part >= len(of) || !chordal(s, of[part]) {
		return
	}
	p := read(s, of[part])
	advice := p.Advise()
	for k, i := range p.notes {
		all[i] = advice[p.moment[k]]
	}
}

// shortest is the least time between two moments, s. Ours.
const shortest = 0.03

// joint is how far apart notes of one moment begin, in quarter notes. Ours.
const joint = 0.02

// Part is a part of a score on which chords are played.
type Part struct {
	*pedalling.Passage
	Beats  []float64 // quarter notes, of each moment
	notes  []int32   // of the score, in the order of their moments
	moment []int32   // of each
}

// Read makes the terms of the parts of a score, by part; nil where no chords are played.
func Read(s *expr.Score) []*Part {
	parts := notesOf(s, func(*expr.Written) bool { return true })
	all := make([]*Part, len(parts))
	for k, of := range parts {
		if chordal(s, of) {
			all[k] = read(s, of)
		}
	}
	return all
}

// notesOf are the notes of a score that a foot may have to do with and that are asked for, by part.
func notesOf(s *expr.Score, asked func(*expr.Written) bool) [][]int32 {
	parts := make([][]int32, 0, 4)
	for i := range s.Notes {
		n := &s.Notes[i]
		if !asked(n) || n.Calls || !(n.Length > 0) || n.Off <= n.On || n.Key > 127 || math.IsNaN(n.Beat) || math.IsInf(n.Beat, 0) {
			continue
		}
		for int(n.Part) >= len(parts) {
			parts = append(parts, nil)
		}
		parts[n.Part] = append(parts[n.Part], int32(i))
	}
	return parts
}

// chordal reports whether one in ten notes or more is struck with another, as on a keyboard.
func chordal(s *expr.Score, of []int32) bool {
	n := 0
	for k := 1; k < len(of); k++ {
		if s.Notes[of[k]].Beat-s.Notes[of[k-1]].Beat < joint {
			n++
		}
	}
	return len(of) > 8 && 10*n >= len(of)
}

func read(s *expr.Score, of []int32) *Part {
	slices.SortStableFunc(of, func(a, b int32) int { return cmp.Compare(s.Notes[a].Beat, s.Notes[b].Beat) })
	p := &Part{notes: of, moment: make([]int32, len(of))}
	p.Passage = pedalling.NewPassage(p.moments(s))
	return p
}

// moments finds what starts together, and what is written about it.
func (p *Part) moments(s *expr.Score) (all []pedalling.Moment) {
	var off []float64 // of the notes that may sound on, s
	bar, level := -1, 0.0
	sign, down := 0, false
	var downAt float64
	for k := 0; k < len(p.notes); {
		first := &s.Notes[p.notes[k]]
		m := pedalling.Moment{At: first.On.Seconds()}
		m.Shortest = math.Inf(1)
		latest := 0.0
		off = slices.DeleteFunc(off, func(x float64) bool {
			latest = max(latest, x)
			return x <= m.At+shortest/2
		})
		if m.Sounds = len(off); m.Sounds == 0 && len(all) > 0 {
			m.Rest = max(m.At-latest, 0)
			if latest == 0 {
				m.Rest = max(m.At-all[len(all)-1].At-all[len(all)-1].Longest, 0)
			}
		}
		for ; k < len(p.notes) && s.Notes[p.notes[k]].Beat-first.Beat < joint; k++ {
			n := &s.Notes[p.notes[k]]
			p.moment[k] = int32(len(all))
			m.Add(int(n.Key))
			length := (n.Off - n.On).Seconds()
			m.Longest, m.Shortest = max(m.Longest, length), min(m.Shortest, length)
			off = append(off, n.Off.Seconds())
			m.Dots = m.Dots || n.Marks&(expr.Staccato|expr.Staccatissimo) != 0
			m.Slurs = m.Slurs || n.Marks&(expr.SlurBegins|expr.SlurGoesOn) != 0
			m.Loud = m.Loud || n.Marks&(expr.Accented|expr.Marcato) != 0
			if n.Dynamic > 0 {
				level = n.OverMezzoForte()
			}
		}
		m.Level = level
		for bar+1 < len(s.Bars) && s.Bars[bar+1].Beat <= first.Beat+joint {
			bar++
		}
		if bar >= 0 && s.Bars[bar].Unit > 0 {
			d := (first.Beat - s.Bars[bar].Beat) * float64(s.Bars[bar].Unit) / 4
			switch {
			case d < 0.05:
				m.Metre = 2
			case math.Abs(d-math.Round(d)) < 0.05:
				m.Metre = 1
			}
		}
		for ; sign < len(s.Signs) && s.Signs[sign].Beat <= first.Beat+signReach; sign++ {
			switch s.Signs[sign].Kind {
			case expr.PedalDown:
				down, downAt = true, s.Signs[sign].Beat
			case expr.PedalUp:
				down = false
			}
		}
		m.Down, m.Goes = down, down && downAt >= first.Beat-signReach
		p.Beats = append(p.Beats, first.Beat)
		all = append(all, m)
	}
	for i := range all {
		m := &all[i]
		m.Next = 1
		if i+1 < len(all) {
			m.Next = all[i+1].At - m.At
		}
		m.Next = max(m.Next, shortest)
		m.Left = all[len(all)-1].At - m.At
	}
	return all
}

// signReach is how far from a moment a pedal sign is of it, quarter notes. Ours.
const signReach = 0.1
