package demo

// brass is horns in pairs, and trumpets, trombones and tuba by the player. From
// bar 19 the first trumpet and the first two horns play the song on the same
// notes over a chorale in five voices: second trumpet, three trombones, tuba.
func brass() []part {
	horns34 := one("Horns 3, 4", 60, 2, []phrase{
		{15, "p g3:2. | a3 | mf a3 | = | f d4:4. g4 | g4:2. | e4:4 g4:8 g4:4. | g4 < a4 | g4 f#4 | ff g4:2."},
	}, []phrase{
		{15, "p e3:2. | = | mf d3 | = | f b3:4. d4 | e4:2. | c4:4. d4 | b3 < a3 | c4 d4 | ff b3:2."},
	})
	horns34.swells = []swell{{from: 17, to: 18, low: 64}}

	return []part{
		one("Horns 1, 2", 60, 2, []phrase{
			{15, "p e4:2. | < = | f#4 | = | f g4:4. d5:4~ c5:8~ | b4:4~ a4:8~ g4:4. | a4:4~ b4:8~ d5:4~ e5:8~ | < d5:2. | e5:4~ d5:8~ c5:4~ a4:8 | ff g4:2."},
			{29, "p g3:4. d4:4~ c4:8~ | pp b3:2."},
		}, []phrase{
			{15, "p b3:2. | < c4 | d4 | f d4"},
		}),
		horns34,
		one("Trumpet 1", 56, 1, []phrase{
			{19, "f g4:4. d5:4~ c5:8~ | b4:4~ a4:8~ g4:4. | a4:4~ b4:8~ d5:4~ e5:8~ | < d5:2. | e5:4~ d5:8~ c5:4~ a4:8 | ff g4:2."},
		}),
		one("Trumpet 2", 56, 1, []phrase{
			{19, "f d4:4. g4 | g4:2. | e4:4 g4:8 g4:4. | < g4 a4 | g4 f#4 | ff g4:2."},
		}),
		one("Trombone 1", 57, 1, []phrase{
			{17, "mp < a3:2. | c4 | f b3:4. d4 | e4:2. | e4:4. d4 | < b3 a3 | c4 d4 | ff b3:2. | f > c4 | mf > d4:4.~ e4 | p =:2."},
		}),
		one("Trombone 2", 57, 1, []phrase{
			{17, "mp < f#3:2. | f#3 | f d3 | g3:4. c4 | c4 g3 | < g3 f#3 | e3 d3 | ff g3:2. | f > g3 | mf > g3 | p g3"},
		}),
		one("Trombone 3", 57, 1, []phrase{
			{17, "mp < d3:2. | d3 | f g2:4. b2 | e3:2. | c3:4. b2 | < d3:2. | a2:4. d3 | ff e3:2. | f > e3 | mf > b2:4.~ a2~ | p g2:2."},
		}),
		one("Tuba", 58, 1, []phrase{
			{19, "f g1:4. b1 | e2:2. | c2:4. b1 | < d2:2. | a1:4. d2 | ff e2:2."},
		}),
	}
}
