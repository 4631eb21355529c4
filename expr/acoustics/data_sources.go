package acoustics

// Sources that several rows share.
const (
	// Meyer's figures are from memory: good confidence for forte, medium for the ends
	// of ordinary playing (PP, FF) and of single notes (Softest, Loudest).
	meyer = "J. Meyer, Acustica 71 (1990) 277-286 and Acoustics and the Performance of Music, 5th ed. 2009, ch. 3, from memory"

	weinzierl = "S. Weinzierl et al., JASA 144 (2018) 1347-1355, table I, the softest and the loudest (quoted in a data note); pp, f and ff between them ours"

	sivian = "order of magnitude: peak powers of L. J. Sivian et al., JASA 2 (1931) 330-371, in a handbook's table, less 20 dB from peak to steady level, all other dynamics ours"

	ownPower = "ours, no published source: estimated beside its relatives"

	ranges = "range from a third-party list of sounding ranges, its ends partly from memory; usual note ours"

	memoryRange = "range from memory; usual note ours"

	registerLevels = "which register is weak or strong from memory; dB ours"

	korsakovRegisters = "N. Rimsky-Korsakov, Principles of Orchestration, p. 19, for the ends; dB ours, after Meyer, from memory, low confidence"

	spectra = "J. Meyer, main formants and dynamic tone colour factor, from memory, low confidence; slopes ours"

	ownSpectrum = "ours, no published source"

	fronts = "J. Meyer, main directions of radiation, from memory, low confidence; dB ours"

	even = "radiates about alike in all directions as we model it: ours"

	// korsakov is where the fit of the heard result comes from. The dB are ours.
	korsakov = "ours: fitted so that the heard result meets N. Rimsky-Korsakov, Principles of Orchestration, p. 33"

	noRule = "none: no rule of balance among players is known to us"

	alone = "none: a soloist plays as strong as the mark says"

	mediumOrchestra = "players of the medium orchestra, N. Rimsky-Korsakov, Principles of Orchestration, p. 6, violas and cellos from memory; "
)

// Partials near 3 kHz in dB per dB of power: the middle of Meyer's factors for
// strings 1.1-1.2, wood-wind 1.4-2 and brass 1.5-2.2, from memory, low
// confidence. For what is struck, plucked or sung: ours.
const (
	bowed, blown, brazen = 1.15, 1.7, 1.85
	struck, sung, fixed  = 1.5, 1.4, 1.0
)

// like is a power db stronger throughout.
func like(p Power, db float64, source string) Power {
	return Power{p.Softest + db, p.PP + db, p.F + db, p.FF + db, p.Loudest + db, source}
}

// section is players of one kind together, as many as in the medium orchestra.
func section(of Instrument, name string, players int, e Ensemble) Instrument {
	of.Name, of.Players, of.Ensemble = name, players, e
	of.Source = mediumOrchestra + ranges
	return of
}

// shifted is the registers of an instrument moved by semitones, for a relative of
// another size.
func shifted(of []Register, semitones Pitch) []Register {
	moved := append([]Register(nil), of...)
	for i := range moved {
		moved[i].To += semitones
		moved[i].Source += "; moved with the size of the instrument: ours"
	}
	return moved
}

// aliases are names that stand for another instrument.
var aliases = []struct{ name, stands, source string }{
	{"woodwind", "clarinet", "the middle of its family: ours"},
	{"brass", "horn", "the middle of its family: ours"},
	{"saxophone", "alto-saxophone", "the usual one of its family: ours"},
	{"keyboard", "piano", "the usual one of its family: ours"},
	{"voice", "solo-voice", "the usual one of its family: ours"},
	{"plucked", "harp", "the usual one of its family: ours"},
	{"percussion", "drum-kit", "all unpitched percussion together: ours"},
}
