package channels

import "swellbox/expr"

// Say takes a message of a channel: its status without the channel, and its data.
type Say func(status, d1, d2 byte)

// Each hands the messages to say that bring a sampler from nothing to this
// state: bank and program first, as a program may move controllers.
func (s *State) Each(say Say) {
	for _, n := range [...]int{expr.CCBank, expr.CCBankLSB} {
		if s.cc[n] != expr.Unknown {
			say(0xB0, byte(n), byte(s.cc[n]))
		}
	}
	if s.program != expr.Unknown {
		say(0xC0, byte(s.program), 0)
	}
	for n, v := range s.cc {
		if v != expr.Unknown && n != expr.CCBank && n != expr.CCBankLSB && !IsParameter(n) {
			say(0xB0, byte(n), byte(v))
		}
	}
	if semitones, cents, said := s.BendRange(); said {
		s.SayBendRange(semitones, cents, say)
	}
	if s.bend != expr.Unknown {
		say(0xE0, byte(s.bend&0x7F), byte(s.bend>>7))
	}
	if s.pressure != expr.Unknown {
		say(0xD0, byte(s.pressure), 0)
	}
}

// SayBendRange hands the messages to say that set the pitch-bend sensitivity
// (RPN 0), and then select again what this state has selected.
func (s *State) SayBendRange(semitones, cents int, say Say) {
	say(0xB0, expr.CCRPNMSB, 0)
	say(0xB0, expr.CCRPNLSB, 0)
	say(0xB0, expr.CCDataMSB, byte(semitones))
	say(0xB0, expr.CCDataLSB, byte(cents))
	hi, lo := byte(expr.CCRPNMSB), byte(expr.CCRPNLSB)
	if s.free {
		hi, lo = expr.CCNRPNMSB, expr.CCNRPNLSB
	}
	say(0xB0, hi, s.selected[0])
	say(0xB0, lo, s.selected[1])
}

// IsParameter reports whether a controller belongs to the parameter numbers, whose
// values mean nothing by themselves.
func IsParameter(number int) bool {
	return number == expr.CCDataMSB || number == expr.CCDataLSB || number >= 96 && number <= 101
}

// Settle says of all that moved says, and s does not, where it stands untold. A
// program has no such place, and a bank goes with it.
func (s *State) Settle(moved *State) {
	for n := range s.cc {
		if s.cc[n] == expr.Unknown && moved.cc[n] != expr.Unknown && n != expr.CCBank && n != expr.CCBankLSB {
			s.cc[n] = int16(expr.Rest(n))
		}
	}
	if s.bend == expr.Unknown && moved.bend != expr.Unknown {
		s.bend = expr.BendCentre
	}
	if s.pressure == expr.Unknown && moved.pressure != expr.Unknown {
		s.pressure = 0
	}
	if _, _, said := moved.BendRange(); said {
		semitones, cents, _ := s.BendRange()
		s.bendRange = [2]int16{int16(semitones), int16(cents)}
	}
}
