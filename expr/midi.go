package expr

// Controllers of MIDI 1.0 that the engine itself knows; all others are the profile's.
const (
	CCBank     = 0
	CCDataMSB  = 6
	CCVolume   = 7
	CCBankLSB  = 32
	CCDataLSB  = 38
	CCDamper   = 64
	CCNRPNLSB  = 98
	CCNRPNMSB  = 99
	CCRPNLSB   = 100
	CCRPNMSB   = 101
	CCSoundOff = 120
	CCReset    = 121
	CCNotesOff = 123
)

// TimingClock is the MIDI clock, 24 a quarter note (MIDI 1.0).
const TimingClock = 0xF8

// Rest is where a controller stands in a sampler that was told nothing.
//
// Sources: RP-015 and General MIDI (expression 127, volume 100, pan 64); RP-021
// (sound controllers 70 to 79 are relative to 64); all others 0, MIDI 1.0.
func Rest(number int) int {
	switch {
	case number == 7:
		return 100
	case number == 11:
		return 127
	case number == 8, number == 10, number >= 70 && number <= 79:
		return 64
	}
	return 0
}

// KeptByReset reports whether "reset all controllers" leaves a controller alone:
// bank, volume, pan, sound controllers, effects depths (RP-015).
func KeptByReset(number int) bool {
	switch {
	case number == 0, number == 32, number == 7, number == 39, number == 10, number == 42:
		return true
	}
	return number >= 70 && number <= 79 || number >= 91 && number <= 95
}

// DrumChannel has no pitches: channel 10, 0-based (General MIDI).
const DrumChannel = 9

// The pitch bend's middle and its most (MIDI 1.0).
const (
	BendCentre = 8192
	BendMax    = 16383
)
