package acoustics

// Ratios of partials: the free bar (1, 2.756, 5.404), bars tuned to 1:4:10
// (marimba, vibraphone) and 1:3:6 (xylophone), the tube heard an octave under its
// partial of 2 with others at 3 and 4, and the drum of 1:1.5:2:2.5: textbooks of
// musical acoustics, from memory. Their levels are ours.
var (
	freeBar  = []Mode{{1, 0}, {2.756, -12}, {5.404, -18}}
	tunedBar = []Mode{{1, 0}, {4, -12}, {10, -24}}
	xyloBar  = []Mode{{1, 0}, {3, -8}, {6, -16}}
	tube     = []Mode{{1, -12}, {2, 0}, {3, -1}, {4, -3}, {5.2, -8}}
	kettle   = []Mode{{1, 0}, {1.5, -3}, {2, -8}, {2.5, -12}, {3, -16}}
)

const modal = "ratios of partials: textbooks of musical acoustics, from memory; slopes ours"

var (
	timpaniColour = &Colour{Peak: 100, Fall: 2, Dynamic: struck, Modes: kettle, Source: modal}
	glockColour   = &Colour{Peak: 800, Dynamic: struck, Modes: freeBar, Tonality: .5, Source: modal}
	celestaColour = &Colour{Peak: 800, Fall: 6, Dynamic: struck, Modes: freeBar, Tonality: .5, Source: modal}
	mallet        = &Colour{Peak: 500, Fall: 5, Dynamic: struck, Modes: tunedBar, Tonality: .5, Source: modal}
	xyloColour    = &Colour{Peak: 800, Fall: 4, Dynamic: struck, Modes: xyloBar, Source: modal}
	bellColour    = &Colour{Peak: 800, Fall: 4, Dynamic: struck, Modes: tube, Tonality: .5, Source: modal}

	drumColour     = &Colour{Peak: 80, Rise: 6, Fall: 6, Dynamic: struck, Noise: true, Source: ownSpectrum}
	snareColour    = &Colour{Peak: 250, Rise: 6, Fall: 3, Roll: 6000, Dynamic: struck, Noise: true, Source: ownSpectrum}
	cymbalColour   = &Colour{Peak: 4000, Rise: 4, Fall: 2, Dynamic: struck, Noise: true, Source: ownSpectrum}
	tamTamColour   = &Colour{Peak: 300, Rise: 4, Fall: 4, Dynamic: struck, Noise: true, Source: ownSpectrum}
	triangleColour = &Colour{Peak: 5000, Rise: 8, Fall: 2, Dynamic: struck, Noise: true, Source: ownSpectrum}
	kitColour      = &Colour{Peak: 150, Rise: 4, Fall: 3, Roll: 8000, Dynamic: struck, Noise: true, Source: ownSpectrum}
)

// unpitched is the row of what has no pitch: any pitch is in its range.
func unpitched(name string, power Power, colour *Colour) Instrument {
	return Instrument{Name: name, Family: "percussion", Players: 1, Low: note("C0"), High: note("C9"), Middle: note("C4"), Source: "no pitch",
		Power: power, Colour: colour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule}}
}

// pitched is the row of a bar, a tube or a kettle.
func pitched(name, low, high, middle, source string, power Power, colour *Colour) Instrument {
	return Instrument{Name: name, Family: "percussion", Players: 1, Low: note(low), High: note(high), Middle: note(middle), Source: source,
		Power: power, Colour: colour, Front: Front{Source: even}, Ensemble: Ensemble{Source: noRule}}
}

var percussionRows = []Instrument{
	// Two makes were measured: 58 dB with pedals, 60 dB with a crank, 108 dB both.
	pitched("timpani", "D2", "A3", "C3", ranges, Power{58, 76, 101, 105, 108, weinzierl}, timpaniColour),
	pitched("glockenspiel", "G5", "C8", "G6", ranges, Power{60, 74, 96, 100, 104, ownPower}, glockColour),
	pitched("crotales", "C6", "C8", "C7", memoryRange, Power{58, 72, 93, 97, 101, ownPower}, glockColour),
	pitched("xylophone", "F4", "C8", "C6", ranges, Power{60, 76, 98, 102, 106, ownPower}, xyloColour),
	pitched("marimba", "A2", "C7", "C5", ranges, Power{55, 70, 88, 92, 97, ownPower}, mallet),
	pitched("vibraphone", "F3", "F6", "C5", ranges, Power{55, 70, 88, 92, 97, ownPower}, mallet),
	pitched("tubular-bells", "C4", "F5", "A4", ranges, Power{62, 78, 101, 105, 109, ownPower}, bellColour),

	unpitched("drum-kit", Power{70, 84, 106, 111, 116, ownPower}, kitColour),
	unpitched("bass-drum", Power{62, 80, 106, 110, 114, sivian}, drumColour),
	unpitched("snare-drum", Power{62, 78, 102, 107, 111, sivian}, snareColour),
	unpitched("cymbals", Power{60, 78, 102, 106, 110, sivian}, cymbalColour),
	unpitched("tam-tam", Power{58, 76, 102, 108, 114, ownPower}, tamTamColour),
	unpitched("triangle", Power{52, 66, 80, 84, 87, sivian}, triangleColour),
}
