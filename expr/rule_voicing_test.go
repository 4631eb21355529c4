package expr

import (
	"math"
	"testing"

	"swellbox/expr/listening"
)

func voicingDB(t *testing.T, k float64, role Role, voices int) float64 {
	n := noteOf(Habits{Voicing: k}, func(n *Note) { n.Role, n.Voices = role, voices })
	return shaped(t, Voicing{}, n).VoicedDB
}

func TestVoicing(t *testing.T) {
	for _, c := range []struct {
		what   string
		role   Role
		voices int
		want   float64
	}{
		{"melody", Melody, 4, 2.75}, {"inner voice", Inner, 4, -2.75}, {"bass", Bass, 4, -2.25},
		{"a voice that nobody can tell", Alone, 4, 0}, {"melody alone", Melody, 1, 0}, {"nothing known", Alone, 0, 0},
	} {
		near(t, c.what, voicingDB(t, 1, c.role, c.voices), c.want, 0)
		near(t, c.what+", k = 2", voicingDB(t, 2, c.role, c.voices), 2*c.want, 0)
	}
}

// Typical emphasis is 10 to 20 steps of velocity (from memory), at mezzo piano, velocity 64, by
// the standard law; and melodies lead by 20 to 50 ms (Palmer 1996), mostly as their hammers
// are the faster (Goebl 2001).
func TestVoicingInVelocities(t *testing.T) {
	law := StandardLaw()
	voiced := func(velocity float64, role Role) uint8 {
		return uint8(math.Round(law.Invert(law.At(velocity) + voicingDB(t, 1, role, 4))))
	}
	if steps := int(voiced(64, Melody)) - int(voiced(64, Inner)); steps < 10 || steps > 20 {
		t.Errorf("a melody has %d steps of velocity more", steps)
	}
	for _, velocity := range []float64{49, 64, 80} { // p, mp, mf
		for _, role := range []Role{Inner, Bass} {
			if lead := listening.Lead(voiced(velocity, role), voiced(velocity, Melody)); lead < 19*ms || lead > 50*ms {
				t.Errorf("velocity %g: a melody leads by %v", velocity, lead)
			}
		}
	}
}
