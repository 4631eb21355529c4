package acoustics

var (
	violinPower = Power{58, 74, 89, 94, 99, meyer}
	violaPower  = Power{63, 73, 87, 91, 95, meyer}
	celloPower  = Power{63, 74, 90, 96, 98, meyer}
	bassPower   = Power{66, 79, 92, 96, 100, meyer}
	// Plucked: every degree from ff to pp, but a small range, and weak beside what
	// is bowed: Rimsky-Korsakov, ch. I C and p. 33.
	pizzicatoPower = Power{54, 64, 79, 83, 87, ownPower}
)

var violinRegisters = []Register{
	{note("C#4"), "full, the lowest string", Strong, 0, 0, registerLevels},
	{note("G#4"), "soft, the D string", Weak, -2, -1, registerLevels},
	{note("Eb5"), "middle", Plain, 0, 0, registerLevels},
	{note("G7"), "brilliant", Strong, 1, 0, registerLevels},
}

var violaRegisters = []Register{
	{note("G3"), "dark, full", Strong, 1, 0, registerLevels},
	{note("F#5"), "middle", Plain, 0, 0, registerLevels},
	{note("G6"), "thin", Weak, -3, -1, registerLevels},
}

var celloRegisters = []Register{
	{note("G#3"), "full, dark", Plain, 0, 0, registerLevels},
	{note("C5"), "singing", Strong, 1, 0, registerLevels},
	{note("C6"), "high", Plain, 0, 0, registerLevels},
}

var bassRegisters = []Register{
	{note("G2"), "full", Strong, 0, 0, registerLevels},
	{note("F#3"), "middle", Plain, -1, 0, registerLevels},
	{note("G4"), "thin", Weak, -4, -2, registerLevels},
}

var (
	violinColour = &Colour{Peak: 500, Rise: 4, Fall: 7, Roll: 3000, Dynamic: bowed, Formants: []Formant{{1000, 2, .3}, {2500, 3, .3}}, Source: spectra}
	violaColour  = &Colour{Peak: 350, Rise: 4, Fall: 7, Roll: 2500, Dynamic: bowed, Formants: []Formant{{1600, 3, .3}}, Source: spectra}
	celloColour  = &Colour{Peak: 250, Rise: 4, Fall: 7, Roll: 2000, Dynamic: bowed, Formants: []Formant{{700, 2, .3}}, Source: spectra}
	bassColour   = &Colour{Peak: 160, Rise: 4, Fall: 8, Roll: 1500, Dynamic: bowed, Source: spectra}
	pluckColour  = &Colour{Peak: 350, Rise: 4, Fall: 10, Roll: 2000, Dynamic: struck, Source: ownSpectrum}
)

var (
	violinFront = Front{0, 1, 2, fronts}
	violaFront  = Front{0, 0, 0, fronts}
	celloFront  = Front{0, 1, 1, fronts}
)

var (
	violinEnsemble = Ensemble{-2.5, -4, korsakov}
	violaEnsemble  = Ensemble{2.5, 1.5, korsakov}
	celloEnsemble  = Ensemble{2.5, 0, korsakov}
	bassEnsemble   = Ensemble{2.5, 3, korsakov}
)

var (
	violin = Instrument{Name: "violin", Family: "strings", Players: 1, Low: note("G3"), High: note("G7"), Middle: note("C5"), Source: ranges,
		Power: violinPower, Registers: violinRegisters, Colour: violinColour, Front: violinFront, Ensemble: Ensemble{Source: alone}}
	viola = Instrument{Name: "viola", Family: "strings", Players: 1, Low: note("C3"), High: note("G6"), Middle: note("C#4"), Source: ranges,
		Power: violaPower, Registers: violaRegisters, Colour: violaColour, Front: violaFront, Ensemble: Ensemble{Source: alone}}
	cello = Instrument{Name: "cello", Family: "strings", Players: 1, Low: note("C2"), High: note("C6"), Middle: note("D3"), Source: ranges,
		Power: celloPower, Registers: celloRegisters, Colour: celloColour, Front: celloFront, Ensemble: Ensemble{Source: alone}}
	doubleBass = Instrument{Name: "double-bass", Family: "strings", Players: 1, Low: note("C1"), High: note("G4"), Middle: note("E2"), Source: ranges,
		Power: bassPower, Registers: bassRegisters, Colour: bassColour, Front: celloFront, Ensemble: Ensemble{Source: alone}}
	pizzicato = Instrument{Name: "pizzicato-strings", Family: "strings", Players: 41, Low: note("C1"), High: note("G7"), Middle: note("C4"), Source: mediumOrchestra + ranges,
		Power: pizzicatoPower, Colour: pluckColour, Front: violinFront, Ensemble: Ensemble{Source: noRule}}
	quartet = Instrument{Name: "solo-strings", Family: "strings", Players: 4, Low: note("C1"), High: note("G7"), Middle: note("C4"), Source: "players of a quartet: ours; " + ranges,
		Power: like(violinPower, 0, "as the violin, most of whom they are: ours"), Colour: violaColour, Front: violinFront, Ensemble: Ensemble{Source: alone}}
)

// Numbers of players as in the built-in profiles; see mediumOrchestra for their source.
var stringRows = []Instrument{
	violin, viola, cello, doubleBass,
	section(violin, "violins-1", 12, violinEnsemble),
	section(violin, "violins-2", 10, violinEnsemble),
	section(violin, "violins", 12, violinEnsemble),
	section(viola, "violas", 8, violaEnsemble),
	section(cello, "cellos", 6, celloEnsemble),
	section(doubleBass, "double-basses", 5, bassEnsemble),
	section(quartet, "strings", 41, violinEnsemble),
	section(quartet, "tremolo-strings", 41, violinEnsemble),
	quartet,
	pizzicato,
}
