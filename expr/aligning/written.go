package aligning

import (
	"cmp"
	"slices"
	"time"

	"swellbox/expr"
)

// leastKnown is the share of a file's notes that a score must have, or it is another piece. Ours.
const leastKnown = 0.5

// Know tells the notes of a file what the score of the same piece has written over them:
// marks, staves, and the bars as they are printed. at gives the file's time of a beat of
// the file. It returns how many of the file's notes the score has; where that is under half of
// them, it is the score of another piece and nothing is told.
//
// The file stays the measure of what is played and when: repeats that it takes, cuts that it
// makes and notes that only it has are played as it has them.
func Know(file, score *expr.Score, at func(beat float64) time.Duration) (found int) {
	own := notesOf(file, func(n *expr.Written) float64 { return n.On.Seconds() })
	written := notesOf(score, func(n *expr.Written) float64 { return n.Beat })
	of := make([]int, len(file.Notes)) // by the file's notes: the score's
	for k, j := range Align(written.notes, own.notes) {
		of[own.index[k]] = None
		if j != None {
			of[own.index[k]] = written.index[j]
			found++
		}
	}
	if float64(found) < leastKnown*float64(len(file.Notes)) {
		return found
	}
	flat := isFlat(file)
	for i, j := range of {
		if j != None {
			n, w := &file.Notes[i], &score.Notes[j]
			n.Marks |= w.Marks
			n.Staff = w.Staff
			if flat {
				n.Dynamic = w.Velocity
			}
		}
	}
	if bars := barsAs(file, score, of, at); len(bars) > 0 {
		file.Bars = bars
	}
	file.Signs = signsAs(file, score, of)
	return found
}

// isFlat reports whether a file has one velocity for all its notes, so that it says nothing of
// dynamics.
func isFlat(file *expr.Score) bool {
	for i := range file.Notes {
		if file.Notes[i].Velocity != file.Notes[0].Velocity {
			return false
		}
	}
	return true
}

// list is the notes of a score as Align takes them, in the order of their times.
type list struct {
	notes []Note
	index []int // of the score's notes
}

func notesOf(s *expr.Score, when func(*expr.Written) float64) list {
	l := list{index: make([]int, len(s.Notes)), notes: make([]Note, len(s.Notes))}
	for i := range l.index {
		l.index[i] = i
	}
	slices.SortStableFunc(l.index, func(a, b int) int { return cmp.Compare(when(&s.Notes[a]), when(&s.Notes[b])) })
	for k, i := range l.index {
		n := &s.Notes[i]
		l.notes[k] = Note{At: when(n), Key: n.Key, Part: n.Part}
	}
	return l
}

// barsAs are the score's bars in the order in which the file plays them, found by the notes
// that both have.
func barsAs(file, score *expr.Score, of []int, at func(beat float64) time.Duration) []expr.Bar {
	var bars []expr.Bar
	number := None
	for i, j := range of {
		if j == None {
			continue
		}
		n, w := &file.Notes[i], &score.Notes[j]
		k, _ := slices.BinarySearchFunc(score.Bars, w.Beat+expr.BeforeBar, func(b expr.Bar, beat float64) int { return cmp.Compare(b.Beat, beat) })
		if k--; k < 0 {
			continue
		}
		b := score.Bars[k]
		beat := n.Beat - (w.Beat - b.Beat)
		last := len(bars) - 1
		switch {
		case last >= 0 && k == number && beat < bars[last].Beat+sameBar: // one more of its notes
			continue
		case last >= 0 && beat <= bars[last].Beat+sameBar: // a straggler of a bar that has gone by
			continue
		}
		number = k
		b.Beat, b.At = beat, at(beat)
		bars = append(bars, b)
	}
	return bars
}

// sameBar is how far apart the starts of one bar may be by its several notes, in quarter notes. Ours.
const sameBar = 0.5
