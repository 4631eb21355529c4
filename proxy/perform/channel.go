package perform

import (
	"math"

	"swellbox/expr"
)

// Controllers of MIDI 1.0 that the desk treats in a way of their own.
const (
	ccBank       = 0
	ccDataMSB    = 6
	ccVolume     = 7
	ccPan        = 10
	ccExpression = 11
	ccBankLSB    = 32
	ccDataLSB    = 38
	ccDamper     = 64
	ccHold2      = 69
	ccNRPNLSB    = 98
	ccNRPNMSB    = 99
	ccRPNLSB     = 100
	ccRPNMSB     = 101
	ccSoundOff   = 120
	ccReset      = 121
	ccNotesOff   = 123
)

const (
	unsaid     = -1
	bendCentre = 8192
)

// ChannelState is what has been said on one channel, so that a sampler can
// be brought to it.
type ChannelState struct {
	cc       [120]int16 // unsaid until one came
	program  int16
	bend     int16
	pressure int16
	rpn      [2]uint8 // selected parameter, MSB and LSB; 127, 127 is none
	nrpn     bool     // the selected parameter is not registered
	bendMSB  int16    // pitch-bend sensitivity, semitones
	bendLSB  int16    // and cents
}

// Clear has nothing have been said.
func (s *ChannelState) Clear() {
	for i := range s.cc {
		s.cc[i] = unsaid
	}
	s.program, s.bend, s.pressure = unsaid, unsaid, unsaid
	s.rpn = [2]uint8{127, 127}
	s.bendMSB, s.bendLSB = unsaid, unsaid
}

// Take follows a channel message that is not a note.
func (s *ChannelState) Take(e *expr.Event) {
	switch e.Msg[0] & 0xF0 {
	case 0xB0:
		s.control(e.Msg[1], e.Msg[2])
	case 0xC0:
		s.program = int16(e.Msg[1])
	case 0xD0:
		s.pressure = int16(e.Msg[1])
	case 0xE0:
		s.bend = int16(e.Msg[2])<<7 | int16(e.Msg[1])
	}
}

func (s *ChannelState) control(number, value uint8) {
	switch number {
	case ccReset:
		s.reset()
		return
	case ccRPNMSB, ccRPNLSB:
		s.rpn[ccRPNMSB-number] = value
		s.nrpn = false
	case ccNRPNMSB, ccNRPNLSB:
		s.rpn[ccNRPNMSB-number] = value
		s.nrpn = true
	case ccDataMSB:
		if !s.nrpn && s.rpn == [2]uint8{} {
			s.bendMSB = int16(value)
		}
	case ccDataLSB:
		if !s.nrpn && s.rpn == [2]uint8{} {
			s.bendLSB = int16(value)
		}
	}
	if int(number) >= len(s.cc) {
		return
	}
	s.cc[number] = int16(value)
	if lsb := int(number) + 32; number < 32 && number != ccBank && number != ccDataMSB && s.cc[lsb] != unsaid {
		s.cc[lsb] = 0 // MIDI 1.0: the MSB resets the LSB
	}
}

// reset follows "reset all controllers".
//
// Source: RP-015.
func (s *ChannelState) reset() {
	for n := range s.cc {
		if s.cc[n] != unsaid && !expr.KeptByReset(n) {
			s.cc[n] = int16(expr.Rest(n))
		}
	}
	s.rpn, s.nrpn = [2]uint8{127, 127}, false
	if s.bend != unsaid {
		s.bend = bendCentre
	}
	if s.pressure != unsaid {
		s.pressure = 0
	}
}

// told is a controller's value, or where it stands untold.
func (s *ChannelState) told(number int) int {
	if v := s.cc[number]; v != unsaid {
		return int(v)
	}
	return expr.Rest(number)
}

// Each hands the messages to say that bring a sampler from nothing to this
// state: bank and program first, as a program may move controllers.
func (s *ChannelState) Each(say func(status, d1, d2 byte)) {
	for _, n := range [...]int{ccBank, ccBankLSB} {
		if s.cc[n] != unsaid {
			say(0xB0, byte(n), byte(s.cc[n]))
		}
	}
	if s.program != unsaid {
		say(0xC0, byte(s.program), 0)
	}
	for n, v := range s.cc {
		if v != unsaid && n != ccBank && n != ccBankLSB && !isParameter(n) {
			say(0xB0, byte(n), byte(v))
		}
	}
	if s.bendMSB != unsaid {
		s.eachOfBendRange(byte(s.bendMSB), byte(max(s.bendLSB, 0)), say)
	}
	if s.bend != unsaid {
		say(0xE0, byte(s.bend&0x7F), byte(s.bend>>7))
	}
	if s.pressure != unsaid {
		say(0xD0, byte(s.pressure), 0)
	}
}

// eachOfBendRange hands the messages to say that set the pitch-bend sensitivity
// (RPN 0), and then select again what this state has selected.
func (s *ChannelState) eachOfBendRange(msb, lsb byte, say func(status, d1, d2 byte)) {
	say(0xB0, ccRPNMSB, 0)
	say(0xB0, ccRPNLSB, 0)
	say(0xB0, ccDataMSB, msb)
	say(0xB0, ccDataLSB, lsb)
	hi, lo := byte(ccRPNMSB), byte(ccRPNLSB)
	if s.nrpn {
		hi, lo = ccNRPNMSB, ccNRPNLSB
	}
	say(0xB0, hi, s.rpn[0])
	say(0xB0, lo, s.rpn[1])
}

// isLevel reports whether a controller moves loudness directly, so that a jump
// of it would click: it is ramped at a switch.
func isLevel(number int, level int) bool {
	return number == ccVolume || number == ccExpression || number == level
}

// isParameter reports whether a controller belongs to the parameter numbers, whose
// values mean nothing by themselves.
func isParameter(number int) bool {
	return number == ccDataMSB || number == ccDataLSB || number >= 96 && number <= 101
}

// decibels is the level of a volume or expression value, dB re full; 0 is taken as
// the deepest value that is heard.
//
// Source: 40·log10(v/127), General MIDI 2 and DLS.
func decibels(v int) float64 { return 40 * math.Log10(math.Max(float64(v), 0.5)/127) }

// fromDecibels is the value nearest to a level.
func fromDecibels(db float64) int { return int(math.Round(127 * math.Pow(10, db/40))) }

// untoldBendRange is in semitones, and no cents (MIDI 1.0).
const untoldBendRange = 2

// Settle says of all that moved says, and s does not, where it stands untold. A
// program has no such place.
func (s *ChannelState) Settle(moved *ChannelState) {
	for n := range s.cc {
		if s.cc[n] == unsaid && moved.cc[n] != unsaid && n != ccBank && n != ccBankLSB {
			s.cc[n] = int16(expr.Rest(n))
		}
	}
	if s.bend == unsaid && moved.bend != unsaid {
		s.bend = bendCentre
	}
	if s.pressure == unsaid && moved.pressure != unsaid {
		s.pressure = 0
	}
	if s.bendMSB == unsaid && moved.bendMSB != unsaid {
		s.bendMSB = untoldBendRange
	}
}
