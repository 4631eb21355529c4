package following_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"swellbox/expr"
	"swellbox/expr/following"
)

// Music that is not the score is not found in it: after 20 seconds
// hardly a note is told, and the place is not sure. Until then two pieces may
// have bars in common, as the orchestral ones, which differ in little but the tune.
func TestManyOtherPieces(t *testing.T) {
	for _, c := range []struct {
		name         string
		score, heard *expr.Score
	}{
		{"piano in a piano piece", piano(2, 200), piano(99, 200)},
		{"solo in a solo", solo(1, 100), solo(98, 200)},
		{"quartet in a quartet", quartet(3, 150), quartet(97, 150)},
		{"orchestra in an orchestra", orchestra(4, 160), orchestra(96, 60)},
		{"orchestra in the demo", demoScore(t), orchestra(95, 60)},
		{"demo in an orchestra", orchestra(4, 160), demoScore(t)},
		{"piano in a symphony", longSymphony(t), piano(94, 100)},
		{"orchestra in a symphony", longSymphony(t), orchestra(93, 40)},
	} {
		l := &live{Rand: rand.New(rand.NewPCG(5, 5)), score: c.heard, ratio: 1, jitter: 2 * time.Millisecond}
		f := following.New(c.score)
		var notes, told, sure [2]int // in the first 20 seconds, later
		for _, n := range l.play(0, 4000) {
			when := 0
			if n.at > 20*time.Second {
				when = 1
			}
			notes[when]++
			if hear(f, n).Note >= 0 {
				told[when]++
			}
			if f.Position(n.at).Sure >= 0.9 {
				sure[when]++
			}
		}
		t.Logf("%-26s %4d notes in 20 s, %3d matched, place sure at %3d; %4d notes later, %3d and %3d",
			c.name, notes[0], told[0], sure[0], notes[1], told[1], sure[1])
		if told[0] > notes[0]*6/10 || sure[0] > notes[0]*6/10 {
			t.Errorf("%s: of %d notes at the start, %d were found in another piece, the place was sure at %d", c.name, notes[0], told[0], sure[0])
		}
		if notes[1] == 0 || told[1] > notes[1]/200 || sure[1] > notes[1]/200 {
			t.Errorf("%s: of %d notes after 20 s, %d were found in another piece, the place was sure at %d", c.name, notes[1], told[1], sure[1])
		}
	}
}
