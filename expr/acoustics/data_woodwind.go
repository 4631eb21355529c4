package acoustics

var (
	flutePower    = Power{67, 82, 91, 94, 101, meyer}
	oboePower     = Power{70, 83, 93, 95, 103, meyer}
	clarinetPower = Power{57, 77, 93, 97, 106, meyer}
	bassoonPower  = Power{72, 81, 93, 96, 102, meyer}
	saxPower      = Power{68, 82, 97, 101, 107, ownPower}
)

// The loudest level of the flute rises by 10 to 15 dB from its lowest to its
// highest octave, and its range is narrow at the bottom: Meyer, from memory, low
// confidence.
var fluteRegisters = []Register{
	{note("B4"), "dull, cold", Weak, -8, -2, korsakovRegisters},
	{note("B5"), "middle", Plain, 0, 0, registerLevels},
	{note("D7"), "brilliant", Strong, 4, 6, korsakovRegisters},
}

var oboeRegisters = []Register{
	{note("E4"), "wild, thick", Strong, 1, 5, korsakovRegisters},
	{note("B5"), "middle", Plain, 0, 0, registerLevels},
	{note("G6"), "hard, dry, thin", Weak, -3, 0, korsakovRegisters},
}

var clarinetRegisters = []Register{
	{note("E4"), "ringing, threatening", Strong, 0, -2, korsakovRegisters},
	{note("G#4"), "throat", Weak, -3, -1, registerLevels},
	{note("Bb5"), "clear", Plain, 0, 0, registerLevels},
	{note("Bb6"), "piercing", Strong, 4, 12, korsakovRegisters},
}

var bassoonRegisters = []Register{
	{note("G2"), "sinister", Strong, 2, 6, korsakovRegisters},
	{note("F#4"), "middle", Plain, 0, 0, registerLevels},
	{note("Eb5"), "tense, thin", Weak, -4, 0, korsakovRegisters},
}

var saxRegisters = []Register{ // of the alto
	{note("G3"), "low, loud", Strong, 2, 7, registerLevels},
	{note("E5"), "middle", Plain, 0, 0, registerLevels},
	{note("A5"), "high", Plain, 1, 4, registerLevels},
}

var (
	fluteColour    = &Colour{Peak: 700, Rise: 2, Fall: 13, Roll: 5000, Dynamic: blown, Source: spectra}
	piccoloColour  = &Colour{Peak: 900, Rise: 2, Fall: 15, Roll: 6000, Dynamic: blown, Source: spectra}
	oboeColour     = &Colour{Peak: 1100, Rise: 4, Fall: 11, Roll: 5000, Dynamic: blown, Formants: []Formant{{2700, 4, .25}}, Source: spectra}
	caColour       = &Colour{Peak: 930, Rise: 4, Fall: 12, Roll: 5000, Dynamic: blown, Source: spectra}
	clarinetColour = &Colour{Peak: 600, Rise: 1, Fall: 10, Roll: 4000, Even: 25, Dynamic: blown, Source: spectra}
	bassClColour   = &Colour{Peak: 350, Rise: 1, Fall: 9, Roll: 3500, Even: 22, Dynamic: blown, Source: spectra}
	bassoonColour  = &Colour{Peak: 500, Rise: 5, Fall: 12, Roll: 3500, Dynamic: blown, Formants: []Formant{{1150, 3, .25}}, Source: spectra}
	contraColour   = &Colour{Peak: 250, Rise: 5, Fall: 11, Roll: 3000, Dynamic: blown, Source: spectra}
	saxColour      = &Colour{Peak: 600, Rise: 2, Fall: 9, Roll: 5000, Dynamic: blown, Source: ownSpectrum}
)

var (
	fluteFront   = Front{0, 1, 2, fronts}
	reedFront    = Front{0, 1, 3, fronts}
	bassoonFront = Front{0, 0, 1, fronts}
)

var (
	fluteEnsemble    = Ensemble{2, 2, korsakov}
	oboeEnsemble     = Ensemble{1, 0.5, korsakov}
	clarinetEnsemble = Ensemble{5.5, 0.5, korsakov}
	bassoonEnsemble  = Ensemble{3.5, 1.5, korsakov}
)

var woodwindRows = []Instrument{
	{Name: "piccolo", Family: "woodwind", Players: 1, Low: note("D5"), High: note("C8"), Middle: note("D6"), Source: ranges,
		Power: like(flutePower, 1, ownPower), Colour: piccoloColour, Front: fluteFront, Ensemble: fluteEnsemble,
		Registers: []Register{
			{note("C#6"), "soft, thin", Weak, -7, -2, registerLevels},
			{note("F6"), "middle", Plain, 0, 0, registerLevels},
			{note("C8"), "piercing", Strong, 5, 10, registerLevels},
		}},
	{Name: "flute", Family: "woodwind", Players: 1, Low: note("B3"), High: note("D7"), Middle: note("F5"), Source: ranges,
		Power: flutePower, Registers: fluteRegisters, Colour: fluteColour, Front: fluteFront, Ensemble: fluteEnsemble},
	{Name: "alto-flute", Family: "woodwind", Players: 1, Low: note("G3"), High: note("G6"), Middle: note("C5"), Source: ranges,
		Power: like(flutePower, -3, ownPower), Colour: fluteColour, Front: fluteFront, Ensemble: fluteEnsemble,
		Registers: []Register{
			{note("F#4"), "warm, soft", Plain, -3, -2, registerLevels},
			{note("F#5"), "middle", Plain, 0, 0, registerLevels},
			{note("G6"), "thin", Weak, -2, 2, registerLevels},
		}},
	{Name: "oboe", Family: "woodwind", Players: 1, Low: note("Bb3"), High: note("G6"), Middle: note("D5"), Source: ranges,
		Power: oboePower, Registers: oboeRegisters, Colour: oboeColour, Front: reedFront, Ensemble: oboeEnsemble},
	{Name: "cor-anglais", Family: "woodwind", Players: 1, Low: note("E3"), High: note("A5"), Middle: note("F4"), Source: ranges,
		Power: like(oboePower, 0, ownPower), Colour: caColour, Front: reedFront, Ensemble: oboeEnsemble,
		Registers: []Register{
			{note("A4"), "full", Strong, 0, 1, registerLevels},
			{note("Eb5"), "middle", Plain, -1, 0, registerLevels},
			{note("A5"), "thin", Weak, -3, 0, registerLevels},
		}},
	{Name: "clarinet", Family: "woodwind", Players: 1, Low: note("D3"), High: note("Bb6"), Middle: note("Eb5"), Source: ranges,
		Power: clarinetPower, Registers: clarinetRegisters, Colour: clarinetColour, Front: reedFront, Ensemble: clarinetEnsemble},
	{Name: "clarinet-e-flat", Family: "woodwind", Players: 1, Low: note("G3"), High: note("Eb7"), Middle: note("Ab5"), Source: memoryRange,
		Power: like(clarinetPower, 0, ownPower), Registers: shifted(clarinetRegisters, 5), Colour: clarinetColour, Front: reedFront, Ensemble: clarinetEnsemble},
	{Name: "bass-clarinet", Family: "woodwind", Players: 1, Low: note("Bb1"), High: note("F5"), Middle: note("A2"), Source: ranges,
		Power: like(clarinetPower, 0, ownPower), Colour: bassClColour, Front: reedFront, Ensemble: clarinetEnsemble,
		Registers: []Register{
			{note("F3"), "dark, full", Strong, 0, 0, registerLevels},
			{note("E4"), "middle", Plain, -1, 0, registerLevels},
			{note("F5"), "pale", Weak, -4, -1, registerLevels},
		}},
	{Name: "bassoon", Family: "woodwind", Players: 1, Low: note("Bb1"), High: note("Eb5"), Middle: note("G3"), Source: ranges,
		Power: bassoonPower, Registers: bassoonRegisters, Colour: bassoonColour, Front: bassoonFront, Ensemble: bassoonEnsemble},
	{Name: "contrabassoon", Family: "woodwind", Players: 1, Low: note("Bb0"), High: note("F3"), Middle: note("Eb2"), Source: ranges,
		Power: like(bassoonPower, 0, ownPower), Colour: contraColour, Front: bassoonFront, Ensemble: bassoonEnsemble,
		Registers: []Register{
			{note("C2"), "dark, loud", Strong, 1, 5, registerLevels},
			{note("F#2"), "middle", Plain, 0, 0, registerLevels},
			{note("F3"), "thin", Weak, -4, 0, registerLevels},
		}},
	{Name: "soprano-saxophone", Family: "woodwind", Players: 1, Low: note("Ab3"), High: note("E6"), Middle: note("B4"), Source: memoryRange,
		Power: saxPower, Registers: shifted(saxRegisters, 7), Colour: saxColour, Front: reedFront, Ensemble: Ensemble{Source: noRule}},
	{Name: "alto-saxophone", Family: "woodwind", Players: 1, Low: note("C#3"), High: note("A5"), Middle: note("E4"), Source: memoryRange,
		Power: saxPower, Registers: saxRegisters, Colour: saxColour, Front: reedFront, Ensemble: Ensemble{Source: noRule}},
	{Name: "tenor-saxophone", Family: "woodwind", Players: 1, Low: note("Ab2"), High: note("E5"), Middle: note("B3"), Source: memoryRange,
		Power: saxPower, Registers: shifted(saxRegisters, -5), Colour: saxColour, Front: reedFront, Ensemble: Ensemble{Source: noRule}},
	{Name: "baritone-saxophone", Family: "woodwind", Players: 1, Low: note("C2"), High: note("A4"), Middle: note("E3"), Source: memoryRange,
		Power: saxPower, Registers: shifted(saxRegisters, -12), Colour: saxColour, Front: reedFront, Ensemble: Ensemble{Source: noRule}},
}
