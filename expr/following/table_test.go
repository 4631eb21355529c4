package following_test

import (
	"testing"

	"swellbox/expr"
)

// piece is a score that jumps are tried in.
type piece struct {
	name  string
	score *expr.Score
	plays int // notes at least between jumps
}

func pieces(t testing.TB) []piece {
	return []piece{
		{"demo", demoScore(t), 100},
		{"solo", solo(1, 100), 16},
		{"piano", piano(2, 200), 16},
		{"quartet", quartet(3, 150), 16},
		{"orchestra", orchestra(4, 160), 100},
		{"repeats", repeats(5), 16},
		{"symphony 20k", symphony(t, 20_000), 100},
		{"symphony 300k", symphony(t, 300_000), 100},
	}
}

const header = `%s
                 jumps | bar right after 2, 3, 4, 8 | or alike 4, 6, 8  | told  then | 4 moments | sure wrong | notes false harmful`

// TestManyJumps plays with jumps and prints, in per cent:
//
//   - bar right after 2, 3, 4, 8 notes: the likeliest bar is the right one;
//   - or alike: or it is the same as the right one, note for note, as in a repeat;
//   - told: jumps whose bar 4 notes tell at all, to who knows tempo, channels and
//     which notes were altered, and has the whole score; then: of those, right or alike;
//   - 4 moments: right or alike at the end of the fourth moment, when all of its
//     chord was heard;
//   - sure: the place is given with 0.9 or more after 4 notes; wrong: and is neither
//     right nor alike;
//   - notes: of the score's, those that were told rightly; false: notes told to be of
//     a bar that is neither; harmful: told to be a note of another key or part, or one
//     after which the part goes on differently within 1.5 s.
//
// The first line of a piece is of jumps within a session, the second of its start.
func TestManyJumps(t *testing.T) {
	all := pieces(t)
	for _, tr := range []trial{
		{name: "as written", sessions: 8, ofTold: 0.98},
		{name: "altered", sessions: 24, altered: 0.05, ofTold: 0.975},
		{name: "altered, stopped and at a new tempo at every jump", sessions: 8, altered: 0.05, newTempo: true, reset: true, ofTold: 0.93},
		{name: "altered, half of the parts muted", sessions: 8, altered: 0.05, muted: true, ofTold: 0.93},
		{name: "altered, on other channels", sessions: 8, altered: 0.05, moved: true, ofTold: 0.85},
		{name: "altered, the tempo changing by 3 % a second", sessions: 8, altered: 0.05, ramp: 0.03, ofTold: 0.88},
	} {
		t.Logf(header, tr.name)
		for _, p := range all {
			start, within := jumps(p, tr, 11)
			t.Logf("%-16s %s", p.name, within.String())
			t.Logf("%-16s %s", "  at the start", start.String())
			check(t, tr, p.name, &within)
		}
	}
}

// promises are what holds of a piece of which 5 % of the notes are altered: the share
// of the jumps after which the bar is found, or one that is the same, in how long.
// Four notes of a chord are often not enough to tell a bar, whoever listens: see the
// column told.
var promises = map[string]struct{ notes4, moments4, notes8 float64 }{
	"demo":          {0.88, 0.99, 0.98},
	"solo":          {0.94, 0.94, 0.99},
	"piano":         {0.90, 0.975, 0.99},
	"quartet":       {0.99, 0.99, 0.99},
	"orchestra":     {0.65, 0.975, 0.80},
	"repeats":       {0.97, 0.99, 0.99},
	"symphony 20k":  {0.65, 0.75, 0.70}, // bars that differ in one note of 300
	"symphony 300k": {0.80, 0.99, 0.90},
}

func check(t *testing.T, tr trial, name string, g *figures) {
	t.Helper()
	atLeast := func(what string, n, of int, least float64) {
		if share := float64(n) / float64(of); !(share >= least) {
			t.Errorf("%s, %s: %s in %.1f %%, want %.1f", tr.name, name, what, 100*share, 100*least)
		}
	}
	atMost := func(what string, n, of int, most float64) {
		if share := float64(n) / float64(of); !(share <= most) {
			t.Errorf("%s, %s: %s in %.2f %%, want %.2f at most", tr.name, name, what, 100*share, 100*most)
		}
	}
	atLeast("the bar is found that 4 notes tell", g.toldAlike, g.told, tr.ofTold)
	atMost("the place is sure and wrong", g.wrong, g.jumps, 0.03)
	falseNotes, harmful := 0.005, 0.005
	switch name {
	case "symphony 20k":
		falseNotes, harmful = 0.06, 0.08
	case "symphony 300k":
		falseNotes, harmful = 0.01, 0.12
	}
	if tr.moved {
		harmful = 0.3 // of parts in unison, nobody knows at first which is which
	}
	atMost("a note is said to be of another bar", g.falseNote, g.notes, falseNotes)
	atMost("a note is said to go on as it does not", g.harmful, g.notes, harmful)
	if tr.name == "altered" {
		p := promises[name]
		atLeast("the bar is found after 4 notes", g.alike[4], g.jumps, p.notes4)
		atLeast("the bar is found after 4 moments", g.chordAlike, g.chords, p.moments4)
		atLeast("the bar is found after 8 notes", g.alike[8], g.jumps, p.notes8)
	}
}
