package acoustics

import "math"

// Pitch is a pitch in equal temperament: semitones from A4, which is 440 Hz.
type Pitch float64

const a4Hz = 440

// KeyPitch is the pitch of a MIDI key, of which 69 is A4 (MIDI 1.0).
func KeyPitch(key float64) Pitch { return Pitch(key - 69) }

// PitchOf is the pitch of a frequency in Hz, which must be over 0.
func PitchOf(hz float64) Pitch { return Pitch(12 * math.Log2(hz/a4Hz)) }

// Key is the MIDI key of a pitch, fractional where it lies between two.
func (p Pitch) Key() float64 { return float64(p) + 69 }

// Hz is the frequency of the pitch.
func (p Pitch) Hz() float64 { return a4Hz * math.Exp2(float64(p)/12) }

// note reads a name like "C4", "F#3" or "Bb1" of the tables in this package.
func note(name string) Pitch {
	steps := [...]Pitch{'A': 9, 'B': 11, 'C': 0, 'D': 2, 'E': 4, 'F': 5, 'G': 7}
	p := steps[name[0]] - steps['A']
	switch name[1] {
	case '#':
		p++
	case 'b':
		p--
	}
	octave := Pitch(name[len(name)-1] - '0')
	return p + 12*(octave-4)
}
