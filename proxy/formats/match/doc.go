// Package match reads alignments of a score with a performance of it, note by note, in the open
// match format, versions 1.0.0 and 5.0 (Foscarin et al. 2022, arXiv 2206.01104).
//
// [ReadFile] is the common call; [Read] takes the bytes. Both give an [Alignment], or an error
// that says where and what to do. What is damaged but can be read over is in Alignment.Warnings.
//
// The package reads what the file says and decides nothing: notes that were left out or added,
// grace notes, and notes of no length are all there, for the caller to choose from.
package match

import "time"

// Alignment is one performance of a piece, held against its score.
type Alignment struct {
	Version   string // of the format: "1.0.0"
	Piece     string // empty where the file does not say, as the next two
	Composer  string
	Performer string

	Score  []ScoreNote // in the order of the file
	Played []Played    // in the order of the file: roughly as played
	Metres []Metre     // in the order of At; none where the file does not say

	Sustain []Pedal // the damper pedal, in the order of At
	Soft    []Pedal // the soft pedal, in the order of At

	Warnings []string // what was wrong but could be read over, each with its line
}

// ScoreNote is one note of the score. Tied notes are one, repeats are played out.
type ScoreNote struct {
	ID    string
	Bar   int     // as it is counted, from 1; 0 is an upbeat
	Onset float64 // in beats since the piece's first full bar: an upbeat is below 0. See [Metre]
	End   float64 // likewise; no later than Onset for a grace note
	Key   uint8   // MIDI note
	Staff int     // from 1, the highest; 0 where the file does not say
	Voice int     // from 1; 0 where the file does not say
	Grace bool
	// Marks are what is written over the note, in the format's own words, such as "staccato",
	// "accent" or "fermata": all attributes but staff, voice and grace.
	Marks  []string
	Played int // index of Alignment.Played; -1: the player left it out
}

// Played is one note of the performance.
type Played struct {
	ID       string
	Key      uint8         // MIDI note
	On, Off  time.Duration // since the recording's start; Off is that of the key, whatever the pedal does
	Velocity uint8         // 1..127
	Score    int           // index of Alignment.Score; -1: not in the score
}

// Metre is a time signature from a place on. A beat of the format is one Unit of the
// metre in force, so that its length in quarter notes is 4/Unit.
type Metre struct {
	At    float64 // in beats
	Beats int     // 6 of 6/8
	Unit  int     // 8 of 6/8
}

// Pedal is what a pedal is set to from a time on.
type Pedal struct {
	At    time.Duration // since the recording's start
	Value uint8         // 0 up, 127 down
}

// Has reports whether a mark is written over the note.
func (n *ScoreNote) Has(mark string) bool {
	for _, m := range n.Marks {
		if m == mark {
			return true
		}
	}
	return false
}

// Quarters is how far a place is from beat 0, in quarter notes.
func (a *Alignment) Quarters(beat float64) float64 {
	unit, from, sum := 4, 0.0, 0.0
	for i, m := range a.Metres {
		if i == 0 || m.At <= from {
			unit = m.Unit
			continue
		}
		if beat <= m.At {
			break
		}
		sum += (m.At - from) * 4 / float64(unit)
		from, unit = m.At, m.Unit
	}
	return sum + (beat-from)*4/float64(unit)
}
