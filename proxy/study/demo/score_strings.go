package demo

// stringOrchestra is the string orchestra. It opens and closes with long chords over
// the open G of the second violins, walks in repeated eighths into the full
// orchestra, and carries the song there in the first violins.
func stringOrchestra() []part {
	return []part{
		one("Violins I", 48, 12, []phrase{
			{1, "pp b5:2. | = | = | =:4.~ c6~ | b5:2.~ | c6~ | b5"},
			{9, "p < g3:8~ a3~ b3~ d4~ b3~ d4~ | mp c4~ e4~ g4~ a4:4.~ | d5:8~ c5~ a4~ f#4:4.~ | g4:2."},
			{16, "mf c5:4. g5:4~ f#5:8~ | < d5:4. a5:4~ g5:8~ | f#5:4 a5:8 g5:4 f#5:8"},
			{19, "ff g5:4. d6:4~ c6:8~ | b5:4~ a5:8~ g5:4. | a5:4~ b5:8~ d6:4~ e6:8~ | d6:2. | e6:4~ d6:8~ c6:4~ a5:8~ | g5:2."},
			{27, "p b5:2.~ | > c6~ | pp b5 | ="},
		}),
		one("Violins II", 48, 10, []phrase{
			{1, "pp g3:2. | = | = | g3 | = | a3~ | g3"},
			{13, "mp d4:2.*8' | < d4*8' | e4*8' | mf e4*8' | < f#4*8' | f#4*8'"},
			{19, "ff d5:4.*16 g5*16 | g5:2.*16 | e5:4*16 g5:8*16 g5:4.*16 | g5*16 a5*16 | g5*16 f#5*16 | g5:2."},
			{27, "p g3:2. | > a3~ | pp g3 | ="},
		}),
		one("Violas", 48, 8, []phrase{
			{1, "pp b3:2. | =~ | c4~ | d4:4.~ e4 | =:2. | =:4.~ d4~ | b3:2."},
			{9, "p d4:2.~ | c4~ | a3~ | b3"},
			{13, "mp b3:2.*8' | < a3*8' | g3*8' | mf c4*8' | < a3*8' | c4*8'"},
			{19, "ff b3:4.*16 d4*16 | e4:2.*16 | e4:4.*16 d4*16 | b3*16 a3*16 | c4*16 d4*16 | b3:2."},
			{27, "p e4:2. | > =:4.~ d4 | pp d4:2. | ="},
		}),
		one("Cellos", 48, 6, []phrase{
			{1, "pp e3:2. | = | =~ | b2:4.~ a2~ | g2:2. | c3:4.~ d3~ | e3:2."},
			{9, "p b2:2.~ | a2 | d3~ | g2"},
			{13, "mp g2:4 d3:8 g2:4 d3:8 | < f#2:4 d3:8 f#2:4 d3:8 | e2:4 b2:8 e2:4 b2:8 | mf a2:4 e3:8 c3:4 a2:8 | < d2:4 a2:8 d2:4 a2:8 | d2:4 a2:8 d2:4 a2:8"},
			{19, "ff g2:8 d3 g3 b2 d3 g3 | e3 b3 g3 e3 g3 c4 | c3 e3 a3 b2 d3 g3 | d3 g3 b3 d3 f#3 a3 | a2 e3 a3 d3 f#3 a3 | e3:2."},
			{27, "p g2:2. | > c3:4.~ d3~ | pp g2:2. | ="},
		}),
		one("Double basses", 48, 4, []phrase{
			{2, "pp e2:2. | =~ | b1:4.~ a1~ | g1:2. | c2:4.~ d2~ | e2:2."},
			{13, "mp g1:4.' g1' | < f#1' f#1' | e1' e1' | mf a1' a1' | < d2' d2' | d2' d2'"},
			{19, "ff g1:4. b1 | e2:2. | c2:4. b1 | d2:2. | a1:4. d2 | e2:2."},
			{27, "p g1:2. | > c2:4.~ d2~ | pp g1:2. | ="},
		}),
	}
}
