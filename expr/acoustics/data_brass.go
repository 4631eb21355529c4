package acoustics

var (
	hornPower     = Power{65, 86, 102, 107, 117, meyer}
	trumpetPower  = Power{78, 89, 101, 104, 111, meyer}
	trombonePower = Power{73, 89, 101, 105, 113, meyer}
	tubaPower     = Power{77, 93, 104, 108, 112, meyer}
)

// The range of horn and trumpet narrows upward, pp is hard when high: Meyer,
// from memory, low confidence.
var hornRegisters = []Register{
	{note("A2"), "low, unsteady", Weak, -4, 0, registerLevels},
	{note("A3"), "dark", Plain, -1, 0, registerLevels},
	{note("B4"), "full", Strong, 0, 0, registerLevels},
	{note("F5"), "high, pp hard", Strong, 2, 10, registerLevels},
}

var trumpetRegisters = []Register{
	{note("A3"), "low, dull", Weak, -4, 0, registerLevels},
	{note("E4"), "middle", Plain, -2, 0, registerLevels},
	{note("G#5"), "bright", Strong, 0, 0, registerLevels},
	{note("Bb5"), "high, pp hard", Strong, 2, 8, registerLevels},
}

var tromboneRegisters = []Register{
	{note("F#2"), "soft-edged", Weak, -3, 0, registerLevels},
	{note("E3"), "middle", Plain, -1, 0, registerLevels},
	{note("Bb4"), "full", Strong, 0, 0, registerLevels},
	{note("C5"), "high, pp hard", Strong, 2, 8, registerLevels},
}

var bassTromboneRegisters = []Register{
	{note("C4"), "full", Strong, 0, 0, registerLevels},
	{note("G4"), "high", Plain, 0, 3, registerLevels},
}

var tubaRegisters = []Register{
	{note("A1"), "lowest", Weak, -3, 0, registerLevels},
	{note("F3"), "full", Strong, 0, 0, registerLevels},
	{note("F4"), "high, strained", Weak, -2, 4, registerLevels},
}

var (
	// Horn: J. Meyer, "Tonal Characteristics of Musical Instruments", abstract: main
	// formant 340 Hz, others at 750, 1225, 2000 and 3500 Hz, 12 dB an octave
	// beyond the maximum; the fundamental of B1 is 25 dB under the strongest partial,
	// which is a rise of 10.2 dB an octave. Height and width of the others: ours.
	hornColour = &Colour{Peak: 340, Rise: 10.2, Fall: 12, Dynamic: brazen,
		Formants: []Formant{{750, 2, .2}, {1225, 2, .2}, {2000, 2, .2}, {3500, 2, .2}},
		Source:   "J. Meyer, Tonal Characteristics of Musical Instruments, abstract; widths ours"}
	trumpetColour  = &Colour{Peak: 1200, Rise: 4, Fall: 13, Roll: 5000, Dynamic: brazen, Source: spectra}
	tromboneColour = &Colour{Peak: 520, Rise: 4, Fall: 11, Roll: 4000, Dynamic: brazen, Source: spectra}
	tubaColour     = &Colour{Peak: 230, Rise: 4, Fall: 12, Roll: 3000, Dynamic: brazen, Source: spectra}
)

var (
	hornFront    = Front{-1, -6, -12, fronts} // the bell faces back
	trumpetFront = Front{0, 3, 10, fronts}    // the bell faces the audience
	slideFront   = Front{1, 5, 10, fronts}
	tubaFront    = Front{0, -1, -5, fronts} // the bell faces up
)

var (
	hornEnsemble     = Ensemble{-1, -3, korsakov}
	trumpetEnsemble  = Ensemble{-5.5, -1.5, korsakov}
	tromboneEnsemble = Ensemble{-4.5, -0.5, korsakov}
	tubaEnsemble     = Ensemble{-4.5, 0, korsakov}
)

var brassRows = []Instrument{
	{Name: "horn", Family: "brass", Players: 1, Low: note("Bb1"), High: note("F5"), Middle: note("E4"), Source: ranges,
		Power: hornPower, Registers: hornRegisters, Colour: hornColour, Front: hornFront, Ensemble: hornEnsemble},
	{Name: "trumpet", Family: "brass", Players: 1, Low: note("E3"), High: note("Bb5"), Middle: note("C5"), Source: ranges,
		Power: trumpetPower, Registers: trumpetRegisters, Colour: trumpetColour, Front: trumpetFront, Ensemble: trumpetEnsemble},
	{Name: "cornet", Family: "brass", Players: 1, Low: note("E3"), High: note("Bb5"), Middle: note("C5"), Source: ranges,
		Power: like(trumpetPower, -1, ownPower), Registers: trumpetRegisters, Colour: trumpetColour, Front: trumpetFront, Ensemble: trumpetEnsemble},
	{Name: "trombone", Family: "brass", Players: 1, Low: note("E2"), High: note("C5"), Middle: note("Bb3"), Source: ranges,
		Power: trombonePower, Registers: tromboneRegisters, Colour: tromboneColour, Front: slideFront, Ensemble: tromboneEnsemble},
	{Name: "bass-trombone", Family: "brass", Players: 1, Low: note("Bb1"), High: note("G4"), Middle: note("C3"), Source: ranges,
		Power: like(trombonePower, 1, ownPower), Registers: bassTromboneRegisters, Colour: tromboneColour, Front: slideFront, Ensemble: tromboneEnsemble},
	{Name: "tuba", Family: "brass", Players: 1, Low: note("E1"), High: note("F4"), Middle: note("G2"), Source: ranges,
		Power: tubaPower, Registers: tubaRegisters, Colour: tubaColour, Front: tubaFront, Ensemble: tubaEnsemble},
}
