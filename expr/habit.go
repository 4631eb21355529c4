package expr

import (
	"strings"
	"time"

	"swellbox/expr/pedalling"
	"swellbox/expr/timing"
)

// Habit is one habit of players. It says all about itself, and adds to the gesture of a note
// at the note's start, by the amount that the note's player has of it. Shape reports whether it
// did anything. A habit keeps nothing of a note: one value serves all parts of an engine, and what
// it is lent is its own only until it returns.
type Habit interface {
	About() *About
	Shape(n *Note, g *Gesture) bool
}

// About is what a habit says of itself. All that people and documents know of habits is made
// of these, from one list: the schema, the words of a diff, the choice by name, the
// demonstration of each, the table in the documents.
type About struct {
	Name     string  // in plain words: "rise and fall"
	Key      string  // in documents: "rise_and_fall"; see Flag for the command line
	Sentence string  // what players do, in one sentence
	Changed  string  // what a diff calls it, after "amount of"
	Listen   string  // what to listen for in the demonstration
	Heard    string  // what to listen for in any piece
	Ease     int     // how easily that is heard: 1 is first; 0: it is not told
	Needs    Grades  // what it must know
	Source   string  // who measured or proposed it
	Most     Bound   // by how much it makes a note louder or softer
	Default  float64 // its amount where no document says one
	Own      bool    // a section of its own in a document, which another way of playing takes over too
	All      bool    // not one player's but all players' together: no document has it
	Settings []Setting
}

// Bound is the most by which a habit makes a note louder or softer: for each 1 of its amount, and beside that
// whatever the amount, both in dB. The zero value is that of a habit that leaves the level of the note as it
// is, or moves it by what the instrument is and the page says.
type Bound struct{ DB, AnyDB float64 }

// Grades says what a habit does at each grade of foreknowledge.
type Grades struct{ None, Lookahead, Score string }

// MostAmount is the most that a player has of a habit; 1 is normal.
const MostAmount = 2

// Flag is the habit's name on the command line and in reports: "rise-and-fall".
func (a *About) Flag() string { return strings.ReplaceAll(a.Key, "_", "-") }

// Setting is something that a habit must know of an instrument or its player beside its
// amount. At says where a profile has it, and by its type what it is: a number, a time, a switch,
// one of a few words, a list of MIDI notes.
type Setting struct {
	Key         string
	About       string   // what it is, in a few words
	Changed     string   // what a diff calls it
	Unit        string   // as documents have it: "dB", "ms", "percent a dB", "as a MIDI note"
	ChangedUnit string   // in a diff, where that is another
	Least, Most float64  // in that unit
	Words       []string // a choice's words; what a diff calls a switch that is off, and on
	At          any      // func(*Profile) *float64, *time.Duration, *bool, *uint8 (a choice) or *[]uint8 (notes)
}

// Percent reports whether documents have the setting in percent, and a profile as a ratio.
func (s *Setting) Percent() bool { return strings.HasPrefix(s.Unit, "percent") }

// What some habits do beside shaping a gesture, each said by an interface of its own.

// PlayerTiming is a habit by which each player is early or late in a way of its own.
type PlayerTiming interface {
	// Spread is the standard deviation of one player's onsets; false if the player keeps to
	// the ensemble's beat.
	Spread(p *Profile) (sd time.Duration, on bool)
	// ChordSpread is the standard deviation of each note of a chord about the player's onset.
	ChordSpread(p *Profile) time.Duration
	// Lead is by how much earlier a note sounds that is struck at another velocity than the
	// one that came in.
	Lead(p *Profile, velocity, struck uint8) time.Duration
}

// StrokeVoicing is a habit by which the voices of a part are struck differently.
type StrokeVoicing interface {
	// StrokeDB is by how much harder a voice is struck, dB.
	StrokeDB(p *Profile, role Role, voices int) float64
}

// KeyStroke is a habit by which keys are struck harder or softer, which is known before a note is due.
type KeyStroke interface {
	// Strokes is the habit of the touch that it is.
	Strokes() TouchHabit
}

// Pedaller is a habit of the foot, or of the hand that damps.
type Pedaller interface {
	Habit
	// Pedal says what moves the pedal of a player; nil for one who has none.
	Pedal(p *Profile) *pedalling.Planner
}

// EnsembleTiming is a habit of all players together: the tempo breathes.
type EnsembleTiming interface {
	// Warp is by how much all of them are late, for a course of phrases: no moment is shifted
	// by more than bound but the last ones, in a ritard that may make the end later by most.
	Warp(c *timing.Course, amount float64, bound, most time.Duration) *timing.Warp
}

// Note is what a habit may know of a note at its start.
type Note struct {
	Profile  *Profile
	Amount   float64       // of the habit that is asked: 0..2
	Players  int           // how many play it
	On       time.Duration // since the engine's start
	Key      uint8         // MIDI note
	Velocity uint8         // as it came in, 1..127
	Slurred  bool          // joined to the note before it, which has another pitch

	WrittenDB float64 // the written dynamic, dB re mf, by the profile's reading
	RawDB     float64 // what the raw note would sound at, dB re full
	MfDB      float64 // where the shaped performance puts this instrument's mf, dB re full

	Context // what is known of the music around it
}
