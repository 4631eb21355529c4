package demo

// others is timpani and piano. The piano's two staves are two tracks on one
// channel, as notation programs export them.
func others() []part {
	piano := part{
		Part: Part{Name: "Piano", Program: 0, Players: 1},
		staves: []staff{
			{"Piano, right hand", [][]phrase{{
				{7, "mp r:4. b4+g5:4~ f#5:8~ | g4+e5:4~ g5:8~ e5+b5:4. | d5+a5:4~ g5:8~ b4+d5:4. | e4+c5:4~ d5:8~ c5+e5:4~ g5:8~ | d5+f#5:4~ a5:8~ f#5+c6:4.~ | g5+b5:2."},
				{30, "pp d4:8 g4 b4 d5:4."},
			}}},
			{"Piano, left hand", [][]phrase{{
				{7, "p e2:8 b2 e3 g3 b3 g3 | c2 g2 c3 e3 g3 e3 | b1 g2 b2 d3 g3 d3 | a1 e2 a2 c3 e3 c3 | d2 a2 d3 f#3 a3 f#3 | g1 d2 g2 b2 d3 b2"},
				{29, "pp g1:8 d2 g2 b2 d3 g3 | g1:2."},
			}}},
		},
	}
	return []part{
		one("Timpani", 47, 1, []phrase{
			{1, "pp e3:4. r"},
			{17, "p < d3:2.*32 | d3*32 | ff g2:4. r:4 g2:8 | e3:4. r:4 e3:8 | a2:4. g2:4 g2:8 | d3:2.*32 | a2:4. d3:4 d3:8 | ff > e3:2.*32 | p e3:4. r"},
			{30, "pp g2:4. r"},
		}),
		piano,
	}
}
