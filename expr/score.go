package expr

import (
	"cmp"
	"time"
)

// Score is a piece as it is written, known before it is played: repeats are played
// out, tied notes are one.
type Score struct {
	Notes []Written // in the order of On, then Port, Channel, Key
	Bars  []Bar     // in the order of time, as they are played
	Signs []Sign    // in the order of Beat, as they are played
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
	Dynamic  uint8         // velocity of the written dynamic, where Velocity does not follow it; else 0
	Staff    uint8         // of its part, from 1
	Marks    Marks
	Solo     bool // it is marked to be in front: solo, soli
	Calls    bool // it is a keyswitch: no music, and passed as it comes; see [Profile.Calls]
}

// Compare orders notes as a [Score] has them.
func (w *Written) Compare(o *Written) int {
	return cmp.Or(cmp.Compare(w.On, o.On), cmp.Compare(w.Port, o.Port), cmp.Compare(w.Channel, o.Channel), cmp.Compare(w.Key, o.Key))
}

// What the velocity of a written dynamic stands for: mf, and the velocities from a mark to the
// next, as package musicxml has them (common practice, no published source).
const (
	mezzoForte = 80
	markSteps  = 16
)

// OverMezzoForte is the written dynamic in marks over mf, where Dynamic says one: 1 is f.
func (w *Written) OverMezzoForte() float64 { return (float64(w.Dynamic) - mezzoForte) / markSteps }

// Sign is what is written over all staves at a place of the time of the music: words and numbers
// of tempo, and where sections end. It matters to how players take their time.
type Sign struct {
	Beat  float64 // quarter notes since the piece's start
	Kind  SignKind
	Value float64 // of Pace and PaceWord: quarter notes a minute; of Dynamic: a velocity
}

// SignKind says what a [Sign] is.
type SignKind uint8

const (
	SectionBar SignKind = iota // a double bar, or a repeat sign
	KeyChange
	HeldBar   // a fermata over the bar line
	Pace      // a tempo in numbers
	PaceWord  // a tempo by its word: Allegro
	SlowDown  // ritardando and the like
	DieAway   // smorzando, morendo: softer and slower
	HurryOn   // accelerando and the like
	PaceBack  // a tempo
	Calm      // tranquillo, dolce
	Stirred   // agitato, con fuoco
	FreeTime  // ad libitum, recitativo
	GrowWord  // crescendo, as a word
	FadeWord  // diminuendo, as a word
	Dynamic   // a mark of level that holds: forte
	Stress    // a mark of level for what begins there: sforzato
	PedalDown // the damper pedal goes down
	PedalUp   // and up
)

// SignKinds is how many kinds of sign there are.
const SignKinds = int(PedalUp) + 1

// BeforeBar is by how many quarter notes a note may come before a bar line and still be of the bar
// that follows: exports round starts to their own ticks. It is a 256th note. Ours, not published.
const BeforeBar = 1. / 64

// Bar is one bar of a [Score], as it is played: a repeated bar comes twice, with one number.
type Bar struct {
	At     time.Duration // at the written tempo
	Beat   float64       // quarter notes since the piece's start
	Number int           // as it is counted, from 1; 0 is an upbeat
	Beats  int           // of the time signature: 6 in 6/8
	Unit   int           // 8 in 6/8
	Mark   string        // the rehearsal mark over it; empty if there is none
}
