package acoustics

var (
	pianoColour       = &Colour{Peak: 350, Rise: 1, Fall: 8, Roll: 2500, Dynamic: struck, Source: ownSpectrum}
	harpColour        = &Colour{Peak: 300, Fall: 9, Roll: 3000, Dynamic: struck, Source: ownSpectrum}
	harpsichordColour = &Colour{Peak: 500, Rise: 2, Fall: 4, Roll: 5000, Dynamic: fixed, Source: ownSpectrum}
	organColour       = &Colour{Peak: 400, Rise: 1, Fall: 6, Roll: 5000, Dynamic: sung, Source: ownSpectrum}
	// The cluster of formants near 2.8 kHz of trained singers: J. Sundberg, from memory.
	voiceColour = &Colour{Peak: 600, Rise: 3, Fall: 11, Roll: 3500, Dynamic: sung, Formants: []Formant{{1100, 4, .2}, {2800, 6, .2}}, Source: ownSpectrum}
)

var (
	voiceFront = Front{1, 2, 4, fronts}
	lidFront   = Front{0, 1, 3, fronts} // the lid open to the audience
)

// harpRegisters: the highest strings are short, and soon silent.
var harpRegisters = []Register{
	{note("C5"), "full", Strong, 0, 0, registerLevels},
	{note("F#6"), "clear", Plain, -2, 0, registerLevels},
	{note("G7"), "dry, short", Weak, -7, -2, registerLevels},
}

// The span of a solo singer of about 50 dB and that of a choir singer of 26 dB:
// "Acoustics for Auditoriums and Concert Halls", p. 167. Where they lie is ours.
var (
	soloVoicePower = Power{60, 76, 100, 105, 110, "span of 50 dB: Acoustics for Auditoriums and Concert Halls, p. 167; where it lies ours"}
	choirPower     = Power{66, 73, 86, 89, 92, "span of 26 dB of a choir singer: Acoustics for Auditoriums and Concert Halls, p. 167; where it lies ours"}
)

// voice is the row of a kind of singer.
func voice(name string, players int, low, high, middle string, power Power) Instrument {
	return Instrument{Name: name, Family: "voice", Players: players, Low: note(low), High: note(high), Middle: note(middle),
		Source: "number of singers ours; " + memoryRange,
		Power:  power, Colour: voiceColour, Front: voiceFront, Ensemble: Ensemble{Source: noRule}}
}

var voiceRows = []Instrument{
	voice("solo-voice", 1, "E2", "C6", "G4", soloVoicePower),
	voice("choir", 40, "E2", "C6", "E4", choirPower),
	voice("choir-sopranos", 10, "C4", "C6", "C5", choirPower),
	voice("choir-altos", 10, "F3", "F5", "F4", choirPower),
	voice("choir-tenors", 10, "C3", "C5", "G3", choirPower),
	voice("choir-basses", 10, "E2", "E4", "B2", choirPower),
}

var keyboardRows = []Instrument{
	{Name: "piano", Family: "keyboard", Players: 1, Low: note("A0"), High: note("C8"), Middle: note("C4"), Source: memoryRange,
		Power: Power{62, 77, 96, 101, 106, ownPower}, Colour: pianoColour, Front: lidFront, Ensemble: Ensemble{Source: noRule}},
	{Name: "celesta", Family: "keyboard", Players: 1, Low: note("C4"), High: note("C8"), Middle: note("C6"), Source: ranges,
		Power: Power{52, 62, 76, 79, 82, ownPower}, Colour: celestaColour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule},
		Registers: []Register{{note("C8"), "soft throughout", Weak, 0, 0, registerLevels}}},
	{Name: "harpsichord", Family: "keyboard", Players: 1, Low: note("F1"), High: note("F6"), Middle: note("C4"), Source: memoryRange,
		// The touch makes no dynamics.
		Power: Power{84, 84, 84, 84, 84, ownPower}, Colour: harpsichordColour, Front: lidFront, Ensemble: Ensemble{Source: noRule}},
	{Name: "organ", Family: "keyboard", Players: 1, Low: note("C1"), High: note("C8"), Middle: note("C4"), Source: memoryRange,
		// The stops make the dynamics.
		Power: Power{78, 86, 106, 112, 118, ownPower}, Colour: organColour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule}},
	{Name: "harp", Family: "plucked", Players: 1, Low: note("C1"), High: note("G7"), Middle: note("F3"), Source: ranges,
		Power: Power{54, 66, 82, 86, 91, weinzierl}, Registers: harpRegisters, Colour: harpColour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule}},
	{Name: "guitar", Family: "plucked", Players: 1, Low: note("E2"), High: note("E6"), Middle: note("E4"), Source: memoryRange,
		Power: Power{59, 68, 80, 84, 88, weinzierl}, Colour: harpColour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule}},
}
