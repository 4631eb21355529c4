// Package musicxml reads MusicXML 4.0 and older (W3C Music Notation Community Group,
// "MusicXML 4.0", 2021), by parts or by measures, plain or packed (.mxl), as an
// [expr.Score]: as it sounds and as it is played, repeats played out, tied notes one.
//
// [ReadFile] is the common call; [Read] takes the bytes. Both give a [Document], or an
// error that says where and what to do. What is damaged but can be read over is in
// Document.Warnings.
//
// The package decides nothing about how music is played, with four exceptions, as
// a score needs a number where the page has a word or a sign: the velocities of dynamic
// marks (dynamics.go), the tempo of words (words.go), and the time and place of grace notes
// (grace.go). What the file says in numbers goes before each of them.
//
// From the file to the document there are five rooms, of which each knows only those before it:
//
//	source, scanner, charset     elements of the file, one after the other
//	page, value, note, direction what elements say, in numbers within bounds; faults and warnings with their place
//	hand, place, grace, commit   where it belongs: a hand stands in a measure of a part, a placer puts down its notes
//	read, measure, partlist      which element is read by whom: all of the file, into a score
//	order, clock, perform, slur  the score played out
package musicxml

import (
	"time"

	"swellbox/expr"
	"swellbox/expr/ornament"
)

// Document is what a file says that matters to playing.
type Document struct {
	Title       string // of the work and its movement; may be empty
	Score       *expr.Score
	Instruments []Instrument // in the order of their parts
	Pedals      []Pedal      // as played, in the order of On
	Ornaments   []Ornament   // in the order of their notes
	Rolls       []Roll       // in the order of their notes
	Glides      []Glide      // in no order
	Caesuras    []int        // notes after which all pause; indices of Score.Notes
	Changes     []Change     // as played, in the order of At
	Warnings    []string     // what was wrong but could be read over, each with its line
}

// Instrument is one instrument of a part. A part has at least one.
type Instrument struct {
	Part    uint16 // index of Score.Parts
	Name    string // may be empty
	Sound   string // the standard's identifier, such as "strings.violin"; may be empty
	Port    uint16 // from 0
	Channel uint8  // from 0
	Program int    // 1..128; 0 where the file does not say
}

// Change is where an instrument goes over to another way of playing, such as pizzicato.
type Change struct {
	At      time.Duration // at the written tempo, since the piece's start
	Beat    float64       // quarter notes since the piece's start
	Part    uint16        // index of Score.Parts
	Port    uint16        // from 0
	Channel uint8         // from 0
	Program int           // 1..128
}

// Ornament is an ornament over a note, which the note itself is without.
type Ornament struct {
	Note int // index of Score.Notes
	ornament.Sign
	Ends bool // of an [ornament.Alternate]: the second of its notes
}

// Pedal is a pedal of a part held down from On to Off.
type Pedal struct {
	On, Off   time.Duration // at the written tempo, since the piece's start
	Beat      float64       // quarter notes since the piece's start
	Length    float64       // in quarter notes
	Part      uint16        // index of Score.Parts
	Sostenuto bool          // the middle pedal, not the damper pedal
}

// RollWay is the order in which the notes of a chord are struck.
type RollWay uint8

const (
	NoRoll   RollWay = iota
	RollUp           // from the lowest note to the highest
	RollDown         // from the highest to the lowest
	Together         // at once, though others of the chord are rolled
)

// Roll is a note of a rolled chord.
type Roll struct {
	Note   int   // index of Score.Notes
	Number uint8 // chords with one number are rolled as one, on whatever staff; 0: each staff by itself
	Way    RollWay
}

// Glide is a glissando from a note to another of its part.
type Glide struct {
	From, To int  // indices of Score.Notes
	Smooth   bool // a slide, without steps
	Fifths   int8 // sharps of the key signature, or flats below 0
}

// Grace says when grace notes are played. A lone one without a slash is an appoggiatura, and on the beat by
// each.
type Grace uint8

const (
	GraceAsWritten Grace = iota // on the beat, but for those that the file has take their time from the note before
	GraceOnBeat
	GraceBeforeBeat
)
