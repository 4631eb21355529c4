package nuance

import (
	"math"
	"time"

	"swellbox/expr"
)

// Hand is the hand that plays a note of a keyboard.
type Hand uint8

// The hands; one staff does not say which.
const (
	AnyHand Hand = iota
	Right
	Left
)

// Note is what is known of a note when it begins.
type Note struct {
	On    time.Duration
	Off   time.Duration // [Sounds] while it is not known
	Key   uint8         // MIDI note
	Hand  Hand
	Metre int8 // 0 off the beat or not known, 1 beat, 2 strong beat, 3 first of the bar
	Marks expr.Marks
	Written
}

// Sounds stands for the end of a note that is not known yet.
const Sounds time.Duration = math.MaxInt64

// Written is what the dynamics of a score say of a note. Levels are dynamic marks over mezzo
// forte: forte is 1, piano -2.
type Written struct {
	Marked   bool    // a dynamic holds
	Level    float32 // the latest on any staff; 0 where none holds
	Staff    float32 // the latest on its own staff
	Before   float32 // the one that held before Level
	After    float32 // the one that comes after it
	Age      float32 // s since Level began
	Left     float32 // s until After
	Line     float32 // Level with the hairpins since, on their way to After
	Sforzato bool    // louder than Level by a mark for this note alone
}

// note is a note in a scene. Times are seconds, and sums are of all notes before it.
type note struct {
	on, off float64
	key     float64
	keys    float64 // sum of the keys
	level   float64 // sum of the marks' levels
	classes [12]int32
	moment  int32
	hand    Hand
	metre   int8
	marks   expr.Marks
	written Written
}

// moment is what begins together.
type moment struct {
	at              float64
	first, n        int32 // of its notes
	top, bottom     float64
	high, low       float64 // of all that sounds
	chroma          uint16
	sounding        int32
	pastNotes       float64 // sums over the moments before
	pastTops, pastN float64 // of those whose top is the highest of all that sounds
	pastSounding    float64
	rest            float64 // silence before it, s
}

// leads reports whether the top of the moment is the highest that sounds.
func (m *moment) leads() bool { return m.top == m.high }

// logLength is the binary logarithm of how long the note lasts, in seconds, as far as is known.
func (n *note) logLength() float64 {
	if math.IsInf(n.off, 1) {
		return 0
	}
	return math.Log2(clip(n.off-n.on, 0.04, 6))
}
