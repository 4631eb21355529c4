package demo

// woodwind is flutes and bassoons with a part for each player, oboes and
// clarinets with two voices on one. The first flute sings the song low: over
// soft strings at the start, where it is heard, and from bar 24 against the
// trombones, where it is not.
func woodwind() []part {
	return []part{
		one("Flute 1", 73, 1, []phrase{
			{2, "p e4:4.~ b4:4~ a4:8~ | g4:4~ f#4:8~ e4:4. | d4:4~ e4:8~ g4:4~ a4:8~ | b4:2. | a4:4~ g4:8~ f#4:4.~ | e4:2."},
			{15, "mf b5:4. f#6:4~ e6:8~ | c6:4. < g6:4~ f#6:8~ | d6:4. a6:4~ g6:8~ | f#6:4~ a6:8 f g6:4' r:8"},
			{19, "ff " + song4 + " | mf e4:4.~ b4:4~ a4:8~ | g4:4~ f#4:8~ e4:4. | > d4:4~ e4:8~ g4:4~ a4:8~ | p b4:2. | > a4:4~ g4:8~ f#4:4.~ | pp g4:2. | ="},
		}),
		one("Flute 2", 73, 1, []phrase{
			{15, "mf g5:2. | < a5 | = | f c6:4. r"},
			{19, "ff " + song4 + " | mf g4:2."},
		}),
		one("Oboes", 68, 2, []phrase{
			{12, "mp r:4. d5:4~ c5:8~ | b4:4. r | a4:4. e5:4~ d5:8 | mf b4:4. f#5:4~ e5:8 | < c5:4. g5:4~ f#5:8 | d5:4. a5:4~ g5:8~ | f#5:4 a5:8 g5:4 f#5:8"},
			{19, "ff d5:4. g5 | g5:2. | e5:4 g5:8 g5:4. | g5 a5 | g5 f#5 | g5:2."},
		}, []phrase{
			{15, "mf g4:2. | < a4 | = | c5 | ff b4:4. d5 | e5:2. | c5:4. d5 | b4 a4 | c5 d5 | b4:2."},
		}),
		one("Clarinets", 71, 2, []phrase{
			{13, "mp g4:4. d5:4~ c5:8~ | a4:4. r | mf g4:2. | < a4 | = | c5"},
			{19, "ff " + song5 + " | g5:2."},
			{29, "pp d4:2. | ="},
		}, []phrase{
			{15, "mf e4:2. | < = | f#4 | = | ff d4:4. g4 | g4:2. | e4:4 g4:8 g4:4. | g4 a4 | g4 f#4 | g4:2."},
			{29, "pp b3:2. | ="},
		}),
		one("Bassoon 1", 70, 1, []phrase{
			{13, "mp d3:8' r d3' d3' r d3' | < d3' r d3' d3' r d3' | e3' r e3' e3' r e3' | mf e3' r e3' e3' r e3' | < f#3' r f#3' f#3' r f#3' | f#3' r f#3' f#3' r f#3'"},
			{19, "ff d3:2. | g3:4. c4 | c4 g3 | g3 f#3 | e3 d3 | g3:2."},
		}),
		one("Bassoon 2", 70, 1, []phrase{
			{13, "mp g2:4.' g2' | < f#2' f#2' | e2' e2' | mf a2' a2' | < d3' d3' | d3' d3'"},
			{19, "ff g2:4. b2 | e3:2. | c3:4. b2 | d3:2. | a2:4. d3 | e3:2."},
		}),
	}
}

// The song as the full orchestra has it, bars 19 to 23: at the trumpet's pitch
// and an octave above.
const (
	song4 = "g4:4. d5:4~ c5:8~ | b4:4~ a4:8~ g4:4. | a4:4~ b4:8~ d5:4~ e5:8~ | d5:2. | e5:4~ d5:8~ c5:4~ a4:8~"
	song5 = "g5:4. d6:4~ c6:8~ | b5:4~ a5:8~ g5:4. | a5:4~ b5:8~ d6:4~ e6:8~ | d6:2. | e6:4~ d6:8~ c6:4~ a5:8"
)
