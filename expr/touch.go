package expr

import "strings"

// TouchHabit is a habit of those who play keys, in how loudly they strike a note for what it
// is among others. What each does was measured; see package nuance.
type TouchHabit uint8

// The habits, in the order of what they add.
const (
	TopLine      TouchHabit = iota // the top of what sounds is brought out, and what is near it
	BassLine                       // the lowest of what sounds
	Height                         // the higher the louder, and peaks of the line
	Fullness                       // full chords, and full music
	Density                        // quick and dense music
	NoteLength                     // long notes and short ones
	BarWeight                      // bars and beats
	Endings                        // rests, the beginning and the end
	Novelty                        // notes and chords that are new, or come again and again
	TwoHands                       // the left hand, and the hand that accompanies
	WrittenLevel                   // dynamics and hairpins, where the notes' velocities say nothing of them
	WrittenSigns                   // accents, slurs, dots and lines
	TouchHabits                    // their number
)

// Touch is what each habit of the touch adds to a note, in dB.
type Touch [TouchHabits]float64

// touchNames are the habits' names in plain words; see [TouchHabit.Key] for documents.
var touchNames = [TouchHabits]string{
	"top line", "bass line", "height", "fullness", "density", "note length", "bar weight", "endings", "novelty", "two hands", "written level", "written signs",
}

// String names the habit in plain words.
func (h TouchHabit) String() string {
	if h < TouchHabits {
		return touchNames[h]
	}
	return "no habit"
}

// touchKeys are the habits' keys in documents.
var touchKeys = func() (keys [TouchHabits]string) {
	for h, name := range touchNames {
		keys[h] = strings.ReplaceAll(name, " ", "_")
	}
	return keys
}()

// Key is the habit's key in documents.
func (h TouchHabit) Key() string { return touchKeys[h] }

// Touches reports whether a player has any of the habits of the touch.
func (p *Profile) Touches() bool {
	for _, key := range touchKeys {
		if p.Amounts.Of(key) != 0 {
			return true
		}
	}
	return false
}
