package habits

import (
	"math"
	"testing"

	"swellbox/expr"
	"swellbox/expr/exprtest"
	"swellbox/expr/listening"
)

func voicingDB(t *testing.T, k float64, role expr.Role, voices int) float64 {
	n := noteOf(exprtest.Having("voicing", k), func(n *expr.Note) { n.Role, n.Voices = role, voices })
	return shaped(t, Voicing{}, n).VoicedDB
}

func TestVoicing(t *testing.T) {
	for _, c := range []struct {
		what   string
		role   expr.Role
		voices int
		want   float64
	}{
		{"melody", expr.Melody, 4, 2.75}, {"inner voice", expr.Inner, 4, -2.75}, {"bass", expr.Bass, 4, -2.25},
		{"a voice that nobody can tell", expr.Alone, 4, 0}, {"melody alone", expr.Melody, 1, 0}, {"nothing known", expr.Alone, 0, 0},
	} {
		exprtest.Near(t, c.what, voicingDB(t, 1, c.role, c.voices), c.want, 0)
		exprtest.Near(t, c.what+", amount 2", voicingDB(t, 2, c.role, c.voices), 2*c.want, 0)
	}
}

// Typical emphasis is 10 to 20 steps of velocity (from memory), at mezzo piano, velocity 64, by
// the standard law; and melodies lead by 20 to 50 ms (Palmer 1996), mostly as their hammers
// are the faster (Goebl 2001).
func TestVoicingInVelocities(t *testing.T) {
	law := expr.StandardLaw()
	voiced := func(velocity float64, role expr.Role) uint8 {
		return uint8(math.Round(law.Invert(law.At(velocity) + voicingDB(t, 1, role, 4))))
	}
	if steps := int(voiced(64, expr.Melody)) - int(voiced(64, expr.Inner)); steps < 10 || steps > 20 {
		t.Errorf("a melody has %d steps of velocity more", steps)
	}
	for _, velocity := range []float64{49, 64, 80} { // p, mp, mf
		for _, role := range []expr.Role{expr.Inner, expr.Bass} {
			if lead := listening.Lead(voiced(velocity, role), voiced(velocity, expr.Melody)); lead < 19*exprtest.Thousandth || lead > 50*exprtest.Thousandth {
				t.Errorf("velocity %g: a melody leads by %v", velocity, lead)
			}
		}
	}
}
