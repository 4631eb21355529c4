// Package channels follows what is said on a MIDI channel: where its controllers and its bend
// stand, which parameter is selected, and how far a bend reaches.
package channels

import "swellbox/expr"

// number of the controllers; what lies above are mode messages (MIDI 1.0).
const number = 120

// State is what has been said on one channel. What nobody has said is [expr.Unknown]: whoever asks knows
// where that stands, which differs from one to another. Clear makes it ready.
type State struct {
	cc        [number]int16
	program   int16
	pressure  int16
	bend      int16
	bendRange [2]int16 // pitch-bend sensitivity, semitones and cents
	selected  [2]uint8 // parameter number, MSB and LSB
	free      bool     // the selected parameter is not a registered one
	reset     func(number int) int
}

// none selects no parameter (MIDI 1.0).
var none = [2]uint8{127, 127}

// Clear has nothing have been said. reset says where "reset all controllers" leaves a controller
// that was moved: [Back] to be unsaid, or at [expr.Rest] for one who must say where it is then.
func (s *State) Clear(reset func(number int) int) {
	*s = State{program: expr.Unknown, pressure: expr.Unknown, bend: expr.Unknown, bendRange: [2]int16{expr.Unknown, expr.Unknown}, selected: none, reset: reset}
	for n := range s.cc {
		s.cc[n] = expr.Unknown
	}
}

// Back has a controller be unsaid after a reset.
func Back(int) int { return expr.Unknown }

// Take follows a channel message that is not a note.
func (s *State) Take(e *expr.Event) {
	switch e.Msg[0] & 0xF0 {
	case 0xB0:
		s.Control(int(e.Msg[1]), int(e.Msg[2]))
	case 0xC0:
		s.program = int16(e.Msg[1])
	case 0xD0:
		s.pressure = int16(e.Msg[1])
	case 0xE0:
		s.bend = int16(e.Msg[2])<<7 | int16(e.Msg[1])
	}
}

// Control follows a controller. The MSB of one sets its LSB to 0 (MIDI 1.0), but not that
// of the bank, which is chosen by both, nor that of the data entry, which is of one parameter now
// and then of another.
func (s *State) Control(number, value int) {
	switch number {
	case expr.CCReset:
		s.Reset()
	case expr.CCRPNMSB, expr.CCRPNLSB:
		s.choose(false, expr.CCRPNMSB-number, value)
	case expr.CCNRPNMSB, expr.CCNRPNLSB:
		s.choose(true, expr.CCNRPNMSB-number, value)
	case expr.CCDataMSB:
		if s.selectsRange() {
			s.bendRange = [2]int16{int16(value), 0}
		}
	case expr.CCDataLSB:
		if s.selectsRange() {
			s.bendRange[1] = int16(value)
		}
	}
	if number >= len(s.cc) {
		return
	}
	s.Set(number, value)
	if lsb := number + 32; number < 32 && number != expr.CCBank && number != expr.CCDataMSB && s.cc[lsb] != expr.Unknown {
		s.cc[lsb] = 0
	}
}

// Set has a controller stand somewhere, and no other.
func (s *State) Set(number, value int) { s.cc[number] = int16(value) }

// choose selects a half of a parameter number. A number that was half of the other kind is none.
func (s *State) choose(free bool, half, value int) {
	if s.free != free {
		s.free, s.selected = free, none
	}
	s.selected[half] = uint8(value)
}

// selectsRange reports whether the pitch-bend sensitivity is selected: RPN 0.
func (s *State) selectsRange() bool { return !s.free && s.selected == [2]uint8{} }

// Reset follows "reset all controllers": all are reset but those that RP-015 names, the bend and
// the pressure with them, and no parameter is selected. The range of the bend stays.
//
// Source: RP-015.
func (s *State) Reset() {
	for n := range s.cc {
		if s.cc[n] != expr.Unknown && !expr.KeptByReset(n) {
			s.cc[n] = int16(s.reset(n))
		}
	}
	s.selected, s.free = none, false
	if s.bend != expr.Unknown {
		s.bend = expr.BendCentre
	}
	if s.pressure != expr.Unknown {
		s.pressure = 0
	}
}

// Said is where a controller stands, or [expr.Unknown].
func (s *State) Said(number int) int { return int(s.cc[number]) }

// Told is where a controller stands; where nobody has moved it, where it rests.
func (s *State) Told(number int) int {
	if v := s.cc[number]; v != expr.Unknown {
		return int(v)
	}
	return expr.Rest(number)
}

// Fine is where a controller stands with its LSB, where it has one: 0..16383, and false if nobody
// has moved it, or its LSB alone.
func (s *State) Fine(number int) (value int, said bool) {
	value = int(max(s.cc[number], 0)) << 7
	if number < 32 {
		value |= int(max(s.cc[number+32], 0))
	}
	return value, s.cc[number] != expr.Unknown
}

// Bend is where the bend stands, 0..16383; its middle if nobody has moved it.
func (s *State) Bend() int {
	if s.bend == expr.Unknown {
		return expr.BendCentre
	}
	return int(s.bend)
}

// Program is the latest program, or [expr.Unknown].
func (s *State) Program() int { return int(s.program) }

// BendRange is how far the bend reaches each way, and false if nobody has set it.
func (s *State) BendRange() (semitones, cents int, said bool) {
	said = s.bendRange != [2]int16{expr.Unknown, expr.Unknown}
	semitones, cents = usualRange, int(max(s.bendRange[1], 0))
	if s.bendRange[0] != expr.Unknown {
		semitones = int(s.bendRange[0])
	}
	return semitones, cents, said
}

// usualRange is the pitch-bend sensitivity until it is set, semitones (MIDI 1.0).
const usualRange = 2

// Semitones is the same in semitones and parts of one.
func (s *State) Semitones() (semitones float64, said bool) {
	whole, cents, said := s.BendRange()
	return float64(whole) + float64(cents)/100, said
}

// Same reports whether two states have the same program, bend, pressure and range of the bend.
func (s *State) Same(o *State) bool {
	return s.program == o.program && s.bend == o.bend && s.pressure == o.pressure && s.bendRange == o.bendRange
}
