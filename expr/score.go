package expr

import (
	"time"
)

// Score is a piece as it is written, known before it is played: repeats are played
// out, tied notes are one.
type Score struct {
	Notes []Written // in the order of On, then Port, Channel, Key
	Bars  []Bar     // in the order of time, as they are played
	Parts []string  // their names
	End   time.Duration
}

// Written is one note of a [Score].
type Written struct {
	On, Off  time.Duration // at the written tempo, since the piece's start
	Beat     float64       // quarter notes since the piece's start
	Length   float64       // in quarter notes
	Part     uint16        // index of Score.Parts
	Port     uint16        // on which it is played, as far as the file says
	Channel  uint8         // 0-based
	Key      uint8         // MIDI note
	Velocity uint8         // 1..127; 0 where the file does not say
	Staff    uint8         // of its part, from 1
	Marks    Marks
	Calls    bool // it is a keyswitch: no music, and passed as it comes; see [Profile.Calls]
}

// Bar is one bar of a [Score], as it is played: a repeated bar comes twice, with one number.
type Bar struct {
	At     time.Duration // at the written tempo
	Beat   float64       // quarter notes since the piece's start
	Number int           // as it is counted, from 1; 0 is an upbeat
	Beats  int           // of the time signature: 6 in 6/8
	Unit   int           // 8 in 6/8
}
