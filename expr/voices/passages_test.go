package voices

import "time"

// Passages of our own, each with the answer. A beat is 500 ms.
const beat = 500 * time.Millisecond

const song = "g4:1.5 a4:.5 g4:1 e4:1 | f4:1 g4:.5 a4:.5 g4:2 | c5:1.5 b4:.5 a4:1 f4:1 | e4:1 d4:1 c4:2 |"
const song2 = "e4:.5 f4:.5 g4:1 a4:1.5 b4:.5 | c5:2 b4:.5 a4:.5 g4:1 | f4:1.5 e4:.5 d4:1 f4:1 | e4:.5 d4:.5 d4:1 c4:2 |"

func octaves(text string, up int) string {
	b := []byte(text)
	for i, c := range b {
		if c >= '0' && c <= '8' && i > 0 && (b[i-1] >= 'a' && b[i-1] <= 'g' || b[i-1] == '#') {
			b[i] = c + byte(up)
		}
	}
	return string(b)
}

const (
	alberti   = "x2(c3:.5 g3:.5 e3:.5 g3:.5) x2(d3:.5 g3:.5 b2:.5 g3:.5) x2(c3:.5 a3:.5 f3:.5 a3:.5) d3:.5 b3:.5 g3:.5 b3:.5 c3:.5 g3:.5 e3:.5 g3:.5"
	arpeggios = "x4(c5:.25 e5:.25 g5:.25 c6:.25 e6:.25 c6:.25 g5:.25 e5:.25) x2(d5:.25 g5:.25 b5:.25 d6:.25 g6:.25 d6:.25 b5:.25 g5:.25) x2(c5:.25 f5:.25 a5:.25 c6:.25 f6:.25 c6:.25 a5:.25 f5:.25)"
	oom       = "x2(c3:1 r:1 g2:1 r:1) g2:1 r:1 d3:1 r:1 c3:1 r:1 g2:1 r:1"
	pahHigh   = "x2(r:1 e4:1 r:1 e4:1) r:1 f4:1 r:1 f4:1 r:1 e4:1 r:1 e4:1"
	pahLow    = "x2(r:1 g4:1 r:1 g4:1) r:1 g4:1 r:1 g4:1 r:1 g4:1 r:1 g4:1"
)

const (
	subject     = "c4:.5 d4:.5 eb4:1 g4:.5 f4:.25 eb4:.25 d4:.5 g3:.5 | c4:.5 eb4:.5 d4:.5 c4:.5 b3:1 g3:1 |"
	answerTonal = "g4:.5 a4:.5 bb4:1 c5:.5 bb4:.25 a4:.25 g4:.5 d4:.5 | g4:.5 bb4:.5 a4:.5 g4:.5 f#4:1 d4:1 |"
	counter     = "c4:1 r:.5 eb4:.5 d4:.5 c4:.5 bb3:1 | a3:.5 bb3:.5 c4:1 d4:.5 c4:.5 bb3:1 |"
	free        = "g3:1 f3:1 eb3:1 d3:1 | eb3:1 f3:1 g3:2 |"
)

// passages are the written ones.
func passages() []piece {
	tutti := "[c5]:1 [c5]:1 [d5]:1 [e5]:1 [f5]:2 [e5]:2 [d5]:1 [e5]:1 [d5]:1 [b4]:1 [c5]:4"
	return []piece{
		compose("melody over Alberti bass", beat, []string{song + song2, alberti + " " + alberti}, []turn{{0, []int{0}}}),
		compose("chorale", beat, []string{
			"g4:1 g4:1 a4:1 b4:1 c5:2 b4:2 a4:1 g4:1 g4:1 f#4:1 g4:4 b4:1 c5:1 d5:1 c5:1 b4:1 a4:1 g4:2",
			"d4:1 d4:1 f#4:1 g4:1 g4:2 g4:2 e4:1 d4:1 e4:1 d4:1 d4:4 g4:1 g4:1 g4:1 f#4:1 g4:1 f#4:1 d4:2",
			"b3:1 b3:1 d4:1 d4:1 e4:2 d4:2 c4:1 b3:1 c4:1 a3:1 b3:4 d4:1 e4:1 d4:1 d4:1 d4:1 c4:1 b3:2",
			"g3:1 g3:1 d3:1 g3:1 c3:2 g3:2 a3:1 b3:1 c4:1 d3:1 g3:4 g3:1 e3:1 b2:1 d3:1 g3:1 d3:1 g2:2",
		}, []turn{{0, []int{0}}}),
		compose("tenor melody under arpeggios", beat, []string{arpeggios + " " + arpeggios, octaves(song+song2, -1), "x8([c2 g2]:4)"}, []turn{{0, []int{1}}}),
		compose("fugato", beat, []string{
			"r:8 | " + answerTonal + counter,
			subject + counter + free,
			"r:16 |" + octaves(subject, -2),
		}, []turn{{0, []int{1}}, {8, []int{0}}, {16, []int{2}}}),
		compose("oom-pah, tune in the cello", beat, []string{pahHigh + " " + pahHigh, pahLow + " " + pahLow, octaves(song+song2, -1), octaves(oom+" "+oom, -1)}, []turn{{0, []int{2}}}),
		compose("oom-pah, tune in the horn", beat, []string{octaves(pahHigh+" "+pahHigh, 1), octaves(pahLow+" "+pahLow, 1), song + song2, oom + " " + oom}, []turn{{0, []int{2}}}),
		compose("flute doubles violins", beat, []string{octaves(song+song2, 1), song + song2, "x8(e3:4)", "x8(g3:4)", alberti + " " + alberti}, []turn{{0, []int{0, 1}}}),
		compose("tutti chords", beat, []string{
			octaves(tutti, 1), tutti,
			"x4(g4:1) a4:2 g4:2 x4(g4:1) g4:4", "x4(e4:1) f4:2 e4:2 x4(f4:1) e4:4", "x4(c3:1) f3:2 c3:2 x4(g3:1) c3:4",
		}, []turn{{0, []int{0, 1}}}),
		compose("solo over string pad", beat, []string{"x4(e5:8)", "x4(c5:8)", "x4(g4:8)", "r:4 " + song + song2}, []turn{{4, []int{3}}}),
		compose("tremolo over a bass tune", beat, []string{"x64(e5:.125 g5:.125 e5:.125 g5:.125)", "x64(c5:.125 e5:.125 c5:.125 e5:.125)", octaves(song+song2, -2)}, []turn{{0, []int{2}}}),
		compose("tune handed on", beat, []string{song + "x8(e4:.5 g4:.5 e4:.5 g4:.5)", "x8(c4:.5 e4:.5 c4:.5 e4:.5)" + octaves(song2, 1), "x8(c3:2 g2:2)"}, []turn{{0, []int{0}}, {16, []int{1}}}),
	}
}
