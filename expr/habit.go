package expr

import (
	"time"

	"swellbox/expr/pedalling"
	"swellbox/expr/timing"
)

// Habit is one habit of players. It adds to the gesture of a note at the note's
// start, by the quantity k that the note's profile gives it, and reports whether
// it did anything. A rule keeps nothing of a note: one value serves all parts of an engine.
type Habit interface {
	Name() string
	Shape(n *Note, g *Gesture) bool
}

// What some habits do beside shaping a gesture, each said by an interface of its own.

// PlayerTiming is a habit by which each player is early or late in a way of its own.
type PlayerTiming interface {
	// Spread is the standard deviation of one player's onsets; false if the player keeps to
	// the ensemble's beat.
	Spread(p *Profile) (sd time.Duration, on bool)
	// Lead is by how much earlier a note sounds that is struck at another velocity than the
	// one that came in.
	Lead(p *Profile, velocity, struck uint8) time.Duration
}

// StrokeVoicing is a habit by which the voices of a part are struck differently.
type StrokeVoicing interface {
	// StrokeDB is by how much harder a voice is struck, dB.
	StrokeDB(p *Profile, role Role, voices int) float64
}

// Pedaller is a habit of the foot, or of the hand that damps.
type Pedaller interface {
	// Pedal says what moves the pedal of a player; nil for one who has none.
	Pedal(p *Profile) *pedalling.Planner
}

// EnsembleTiming is a habit of all players together: the tempo breathes.
type EnsembleTiming interface {
	// Warp is by how much all of them are late, for a course of phrases: no moment is shifted
	// by more than bound but the last ones, in a ritard that may make the end later by most.
	Warp(c *timing.Course, amount float64, bound, most time.Duration) *timing.Warp
}

// Note is what a rule may know of a note at its start.
type Note struct {
	Profile  *Profile
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
