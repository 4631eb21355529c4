package expr

import "testing"

func voicingDB(t *testing.T, k float64, role Role, voices int) float64 {
	n := noteOf(Habits{Voicing: k}, func(n *Note) { n.Role, n.Voices = role, voices })
	return shaped(t, Voicing{}, n).NuanceDB
}

func TestVoicing(t *testing.T) {
	for _, c := range []struct {
		what   string
		role   Role
		voices int
		want   float64
	}{
		{"melody", Melody, 4, 1.75}, {"inner voice", Inner, 4, -1.75}, {"bass", Bass, 4, -0.75},
		{"a voice that nobody can tell", Alone, 4, 0}, {"melody alone", Melody, 1, 0}, {"nothing known", Alone, 0, 0},
	} {
		near(t, c.what, voicingDB(t, 1, c.role, c.voices), c.want, 0)
		near(t, c.what+", k = 2", voicingDB(t, 2, c.role, c.voices), 2*c.want, 0)
	}
}

// Typical emphasis is 10 to 20 steps of velocity (from memory); at mezzo piano, velocity 64,
// by the standard law.
func TestVoicingInVelocities(t *testing.T) {
	law := StandardLaw()
	emphasis := voicingDB(t, 1, Melody, 4) - voicingDB(t, 1, Inner, 4)
	if steps := law.Invert(law.At(64)+emphasis) - 64; steps < 10 || steps > 20 {
		t.Errorf("%.1f dB are %.1f steps of velocity", emphasis, steps)
	}
}
